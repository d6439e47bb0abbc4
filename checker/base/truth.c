#include "base/truth.h"

enum truth truth_and(enum truth a, enum truth b)
{
	return a == NO || b == NO ? NO : a == YES && b == YES ? YES : PERHAPS;
}

enum truth truth_or(enum truth a, enum truth b)
{
	return a == YES || b == YES ? YES : a == NO && b == NO ? NO : PERHAPS;
}

enum truth truth_not(enum truth a)
{
	return a == PERHAPS ? PERHAPS : a == YES ? NO : YES;
}
