/*
 * What tests of solved circuits share.
 */
#ifndef LEANRICH_TESTS_CIRCUIT_SUPPORT_H
#define LEANRICH_TESTS_CIRCUIT_SUPPORT_H

#include <criterion/criterion.h>
#include <string.h>

#include "circuit/circuit.h"

/* The stream of this tag; a test that names none fails. */
static inline size_t stream(const struct circuit *circuit, const char *tag)
{
	for (size_t i = 0; i < circuit->sheet.stream_count; i++)
		if (strcmp(circuit->sheet.streams[i].stream->tag, tag) == 0)
			return i;
	cr_assert_fail("%s", tag);
	return 0;
}

#endif
