#include "chemistry/constants.h"

#include "base/count.h"

static const struct constant rows[] = {
#define CONSTANT(name, value, unit, lowest, highest, source, known)                                                    \
	{#name, value, unit, lowest, highest, source, KNOWN_##known},
#include "chemistry/constants.def"
#undef CONSTANT
};

size_t constant_count(void)
{
	return COUNT(rows);
}

const struct constant *constant_row(size_t i)
{
	return &rows[i];
}
