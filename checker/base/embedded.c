#include "base/embedded.h"

#include <stdlib.h>
#include <string.h>

static int compare_name(const void *name, const void *file)
{
	return strcmp(name, ((const struct embedded_file *)file)->name);
}

const struct embedded_file *embedded_find(const char *name)
{
	return bsearch(name, embedded_files, embedded_count, sizeof *embedded_files, compare_name);
}
