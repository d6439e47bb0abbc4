/*
 * Tables of results in tests/data, for readers (`leanrich help validation`), which the tests calculate again.
 *
 * printed_holds() compares word by word: a number may differ by one unit of its last printed digit, since the last bit of
 * exp() is not the same on every machine; anything else must be the same. With LEANRICH_TABLES=write in the
 * environment (make tables) the file is written instead.
 */
#ifndef LEANRICH_PRINTED_H
#define LEANRICH_PRINTED_H

#include <stdbool.h>

bool printed_holds(const char *path, const char *text);

#endif
