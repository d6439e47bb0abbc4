/*
 * The SHA-256 digest of some bytes (FIPS 180-4), by which the page allows its own script and no other.
 */
#ifndef LEANRICH_DIGEST_H
#define LEANRICH_DIGEST_H

#include <stddef.h>

#include "base/arena.h"

/* In base64, as a content security policy names it: "ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=". */
const char *digest_base64(struct arena *arena, const void *bytes, size_t length);

#endif
