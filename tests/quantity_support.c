#include <criterion/criterion.h>
#include <math.h>

#include "quantity_support.h"

struct arena arena;
struct problems problems;

static void begin(void)
{
	arena = (struct arena){0};
	problems = (struct problems){.arena = &arena};
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(quantity, .init = begin, .fini = end);

bool parse(enum kind kind, const char *written, struct quantity *out)
{
	return quantity_parse(&arena, written, "value", (struct accepted){{kind}, 1}, BAROMETRIC,
		(struct place){"design.xml", 3, 7}, &problems, out);
}

bool same_within(double a, double b, double relative)
{
	return fabs(a - b) <= relative * fmax(fabs(a), fabs(b));
}

/* A step of a linear congruential generator (Knuth, The Art of Computer Programming 2, 1997, 3.3.4: the constants of MMIX). */
double next_share(unsigned long long *state)
{
	*state = *state * 6364136223846793005ULL + 1442695040888963407ULL;
	return (double)(*state >> 11) / 9007199254740992.0;
}
