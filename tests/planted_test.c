/* Eleven packages with one question each that decides (planted.def): it is among the first five of the review. */
#include <criterion/criterion.h>

#include "base/count.h"
#include "base/text.h"
#include "review_support.h"

static const struct {
	const char *name, *key, *unit;
} planted[] = {
#define PLANTED(name, key, unit) {name, key, unit},
#include "planted.def"
#undef PLANTED
};

static void expect_asked(size_t row)
{
	static struct trial trial;
	trial_open(&trial, NULL);
	trial_review(&trial,
		arena_format(&trial.arena, "<unit xmlns='urn:leanrich:unit:1' number='1' name='u'>%s</unit>",
			planted[row].unit));
	cr_assert_not_null(trial.review, "%s: %s", planted[row].name, trial_messages(&trial));
	const struct questions *questions = &trial.review->questions;
	size_t at = 0;
	while (at < questions->now && !text_same(questions->rows[at].key, planted[row].key))
		at++;
	cr_expect(at < 5 && at < questions->now, "%s: asked as number %zu of %zu", planted[row].name, at + 1,
		questions->now);
	trial_close(&trial);
}

/* In two halves, which run beside each other. */
Test(planted, what_decides_is_among_the_first_five)
{
	for (size_t i = 0; i < COUNT(planted) / 2; i++)
		expect_asked(i);
}

Test(planted, what_decides_is_among_the_first_five_of_others)
{
	for (size_t i = COUNT(planted) / 2; i < COUNT(planted); i++)
		expect_asked(i);
}
