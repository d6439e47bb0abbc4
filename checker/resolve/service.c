#include "resolve/service.h"

#include <stddef.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

enum {
	NONE,
#define CLASS(code, meaning) code = SERVICE_##code,
#include "resolve/service.def"
};

static const struct {
	const char *word;
	unsigned classes;
} services[] = {
#define SERVICE(word, classes) {word, classes},
#include "resolve/service.def"
};

bool service_is(const char *service, unsigned classes)
{
	for (size_t i = 0; service && i < COUNT(services); i++)
		if (text_is(services[i].word, service))
			return (services[i].classes & classes) == classes;
	return false;
}

const char *service_word(unsigned i)
{
	return i < COUNT(services) ? services[i].word : NULL;
}
