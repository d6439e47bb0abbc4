/* The catalogue that the program carries as data is the one its rules read as: in every profile, and in what it judges. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/embedded.h"
#include "command/commands.h"
#include "judge/built.h"
#include "read/built_vocabulary.h"
#include "review_support.h"
#include "write/write.h"

static struct trial trial, other;

static void close_trials(void)
{
	trial_close(&trial);
	trial_close(&other);
}

TestSuite(built, .fini = close_trials);

static const char *printed(struct arena *arena, const struct catalogue *catalogue)
{
	const struct built_catalogue row = {.profile = "", .catalogue = catalogue};
	struct text text = text_in(arena);
	built_print(arena, &row, 1, &text);
	return text.data;
}

static const char *short_name(struct arena *arena, const char *file)
{
	const char *name = strrchr(file, '/') + 1;
	return arena_copy_span(arena, name, strlen(name) - strlen(".xml"));
}

Test(built, every_profile_is_there_and_is_what_its_rules_read_as)
{
	struct arena *arena = &trial.arena;
	trial.problems.arena = arena;
	size_t profiles = 0;
	for (size_t i = 0; i < embedded_count; i++) {
		const char *name = embedded_files[i].name;
		if (strncmp(name, "rules/profiles/", 15) != 0)
			continue;
		const struct catalogue *built = built_find(name);
		const struct catalogue *read = read_catalogue(arena, NULL, short_name(arena, name), &trial.problems);
		cr_assert(built && read, "%s", name);
		cr_expect(strcmp(printed(arena, built), printed(arena, read)) == 0, "%s", name);
		catalogue_release(read);
		profiles++;
	}
	cr_expect_gt(profiles, 1);
	cr_expect_null(built_find("default"));
	cr_expect_null(built_find(""));
}

Test(built, profiles_differ)
{
	const char *strictest = printed(&trial.arena, built_find("rules/profiles/strictest.xml"));
	cr_expect(strcmp(strictest, printed(&trial.arena, built_find("rules/profiles/default.xml"))) != 0);
}

/* What is printed shows a change of one member, be it deep inside. */
Test(built, another_limit_prints_otherwise)
{
	const struct catalogue *built = built_find("rules/profiles/default.xml");
	struct catalogue changed = *built;
	struct rule *rules = arena_alloc(&trial.arena, built->rule_count * sizeof *rules);
	memcpy(rules, built->rules, built->rule_count * sizeof *rules);
	changed.rules = rules;
	struct rule *rule = rules;
	while (!rule->limit_count || rule->limits[0].says)
		rule++;
	struct limit *limits = arena_alloc(&trial.arena, rule->limit_count * sizeof *limits);
	memcpy(limits, rule->limits, rule->limit_count * sizeof *limits);
	rule->limits = limits;
	cr_expect_str_eq(printed(&trial.arena, &changed), printed(&trial.arena, built));
	limits[0].value.si = nextafter(limits[0].value.si, 0);
	cr_expect(strcmp(printed(&trial.arena, &changed), printed(&trial.arena, built)) != 0);
}

/* ---- judging ---- */

static char *record_of(struct trial *of, const char *path)
{
	char *record = NULL;
	size_t size = 0;
	trial_review_file(of, path);
	cr_assert_not_null(of->review, "%s", trial_messages(of));
	FILE *out = open_memstream(&record, &size);
	cr_expect(out && write_json(of->review, out));
	fclose(out);
	return record;
}

/* Expressions are compiled when they are first evaluated, given back with the catalogue, and compiled again. */
Test(built, both_judge_alike_and_again_after_a_release)
{
	static const char design[] = "designs/marram-point.xml";
	trial_open(&trial, NULL);
	cr_expect(trial.catalogue == built_find("rules/profiles/default.xml"));
	char *first = record_of(&trial, design);
	trial_close(&trial);
	trial_open(&trial, NULL);
	char *again = record_of(&trial, design);
	other.problems.arena = &other.arena;
	other.vocabulary = unit_vocabulary(&other.arena);
	other.catalogue = read_catalogue(&other.arena, NULL, NULL, &other.problems);
	cr_assert_not_null(other.catalogue, "%s", trial_messages(&other));
	char *read = record_of(&other, design);
	cr_expect(strcmp(first, again) == 0);
	cr_expect(strcmp(first, read) == 0);
	free(first);
	free(again);
	free(read);
}

/* ---- the vocabulary ---- */

static const char *printed_vocabulary(struct arena *arena, const struct vocabulary *vocabulary)
{
	struct text text = text_in(arena);
	built_vocabulary_print(arena, vocabulary, &text);
	return text.data;
}

static const struct vocabulary *read_units(void)
{
	const struct embedded_file *schema = embedded_find("checker/read/unit.xsd");
	return vocabulary_read(&trial.arena, (const char *)schema->data, schema->size, "unit");
}

Test(built, the_vocabulary_of_units_is_what_its_schema_reads_as)
{
	const struct vocabulary *read = read_units(), *used = unit_vocabulary(&trial.arena);
	cr_expect_gt(built_units.element_count, 30);
	cr_expect(strcmp(printed_vocabulary(&trial.arena, &built_units), printed_vocabulary(&trial.arena, read)) == 0);
	cr_expect(used->elements == built_units.elements, "it is what a run uses");
	cr_expect(used->xsd == read->xsd && used->xsd_size == read->xsd_size);
}

/* Whatever a file may say is printed: what differs in one word, flag or number prints otherwise. */
Test(built, another_vocabulary_prints_otherwise)
{
	const char *printed_as_it_is = printed_vocabulary(&trial.arena, read_units());
	const struct vocabulary *read = read_units();
	const struct vocabulary_element *line = vocabulary_child(vocabulary_root(read, "unit"), "line");
	struct vocabulary_attribute *attribute =
		(struct vocabulary_attribute *)(uintptr_t)vocabulary_attribute(line, "size");
	cr_assert(attribute);
	bool *const flags[] = {&attribute->required, &attribute->inherited, &attribute->condition};
	for (size_t i = 0; i < sizeof flags / sizeof *flags; i++) {
		*flags[i] = !*flags[i];
		cr_expect(strcmp(printed_vocabulary(&trial.arena, read), printed_as_it_is) != 0, "flag %zu", i);
		*flags[i] = !*flags[i];
	}
	struct vocabulary_type *type = (struct vocabulary_type *)(uintptr_t)attribute->type;
	type->uncertainty += 0.5;
	cr_expect(strcmp(printed_vocabulary(&trial.arena, read), printed_as_it_is) != 0, "uncertainty");
	type->uncertainty -= 0.5;
	cr_expect(strcmp(printed_vocabulary(&trial.arena, read), printed_as_it_is) == 0);
	attribute->documentation = "Other words.";
	cr_expect(strcmp(printed_vocabulary(&trial.arena, read), printed_as_it_is) != 0, "documentation");
}
