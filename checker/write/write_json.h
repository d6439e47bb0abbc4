/*
 * The part of the JSON record that holds the sulfide analysis (write_json_sulfide.c); write_json.c writes all else.
 * Numbers are in the unit that their name ends in; one that is infinite or not known is null.
 */
#ifndef LEANRICH_WRITE_JSON_H
#define LEANRICH_WRITE_JSON_H

#include <jansson.h>

#include "write/review.h"

/* NULL when memory ran out. */
json_t *json_sulfide(const struct review *review);

#endif
