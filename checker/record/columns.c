#include "record/columns.h"

const char *const column_names[] = {"reachable-loading", "column-bottom-temperature", "column-top-temperature",
	"column-reflux-ratio", "stripping-in-reboiler", "column-condensing-duty", NULL};

bool column_is_reported(const struct table *table, const struct item *regenerator, int operating_case)
{
	return !table_case(table, operating_case)->upset &&
		table_peek(table, regenerator, operating_case, column_names[0]) != NULL;
}
