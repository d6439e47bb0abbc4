#include "judge/built.h"

#include <string.h>

const struct catalogue *built_find(const char *profile)
{
	for (size_t i = 0; built_catalogues[i].profile; i++)
		if (strcmp(built_catalogues[i].profile, profile) == 0)
			return built_catalogues[i].catalogue;
	return NULL;
}
