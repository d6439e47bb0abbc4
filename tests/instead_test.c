/*
 * One value in the place of another comes to the same table whether the description is resolved again or its table is taken once more
 * with that value alone (resolve/instead.h): every cell, in every case, of designs with zones, parts and several cases.
 */
#include <criterion/criterion.h>

#include "base/count.h"
#include "base/text.h"
#include "pipeline/stages.h"
#include "read/vocabulary.h"
#include "resolve/alike.h"
#include "resolve/instead.h"
#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(instead, .init = begin, .fini = end);

struct beside {
	const struct table *other;
	const char *differs; /* the first name that does; NULL: none */
};

static void compare_cell(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity, void *data)
{
	struct beside *beside = data;
	const struct item *there = table_item(beside->other, item->index);
	if (!alike_values(quantity, table_peek(beside->other, there, operating_case, name)))
		beside->differs = name;
}

/* NULL: the two hold the same. */
static const char *differing(const struct table *one, const struct table *other)
{
	struct beside forward = {.other = other}, back = {.other = one};
	table_each_cell(one, compare_cell, &forward);
	table_each_cell(other, compare_cell, &back);
	if (!forward.differs && !back.differs && table_cell_count(one) != table_cell_count(other))
		return "the number of cells";
	return forward.differs ? forward.differs : back.differs;
}

/* Another value of the attribute: a number, or the last of its choices; a text of which nothing is known. */
static struct quantity another(const struct vocabulary_attribute *attribute)
{
	const struct vocabulary_type *type = attribute->type;
	struct quantity value = {
		.known = STATED, .kind = type->accepted.kinds[0], .si = 0.37, .written = "other", .document = ""};
	if (!kind_is_number(value.kind))
		value.word = type->choice_count ? type->choices[type->choice_count - 1].word : "other";
	return value;
}

struct tried {
	size_t alone, again;
};

static void try_one(const struct element *unit, const struct table *as_is, const struct item *item,
	const struct vocabulary_attribute *attribute, int operating_case, struct tried *tried)
{
	struct arena arena = {0};
	const struct quantity value = another(attribute);
	struct instead instead = {.tag = item->tag,
		.name = attribute->name,
		.operating_case = operating_case,
		.quantity = &value,
		.as_is = as_is};
	const struct table *alone = instead_alone(&arena, unit, &instead);
	tried->alone += alone != NULL;
	tried->again += alone == NULL;
	instead.as_is = NULL;
	const struct table *again = alone ? resolve_instead(&arena, unit, &instead) : NULL;
	cr_expect(!alone || again, "%s of %s", attribute->name, item->tag);
	const char *differs = again ? differing(alone, again) : NULL;
	cr_expect_null(differs, "%s of %s in case %d: %s", attribute->name, item->tag, operating_case, differs);
	arena_release(&arena);
}

/* Each attribute of some item, in each case by turns. */
static void try_all(const char *path, struct tried *tried)
{
	enum { STEP = 7 }; /* of so many, one */
	struct resolved_unit read;
	cr_assert(stages_read_file(&trial.arena, path, trial.vocabulary, trial.catalogue, &trial.problems, &read));
	const struct table *as_is = table_lowest(read.table);
	const int cases = (int)table_case_count(as_is);
	size_t number = 0;
	for (size_t i = 0; i < table_item_count(as_is); i++) {
		const struct item *item = table_item(as_is, i);
		for (size_t k = 0; item->meaning && k < item->meaning->attribute_count; k++)
			if (number++ % STEP == 0)
				try_one(read.unit, as_is, item, &item->meaning->attributes[k],
					(int)(number / STEP % (size_t)(cases + 1)) - 1, tried);
	}
}

Test(instead, one_value_alone_is_as_if_the_description_were_resolved_again)
{
	static const char *const paths[] = {"designs/tern-quay.xml", "designs/cobble-hythe.xml",
		"tests/designs/dunlin-fork.xml", "tests/designs/pipit-hollow.xml", "tests/designs/condition.xml"};
	struct tried tried = {0};
	for (size_t i = 0; i < COUNT(paths); i++)
		try_all(paths[i], &tried);
	cr_expect_gt(tried.alone, tried.again, "%zu alone, %zu again", tried.alone, tried.again);
	cr_expect_gt(tried.again, 0);
}
