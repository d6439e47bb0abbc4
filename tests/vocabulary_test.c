/* The vocabulary as people are told of it: every element and attribute, with a sample that the program itself accepts. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/embedded.h"
#include "base/text.h"
#include "command/commands.h"
#include "compute/computed.h"
#include "read/element.h"
#include "review_support.h"
#include "write/vocabulary_entry.h"

static struct trial trial;

static void begin(void)
{
	shell_begin();
	trial_open(&trial, NULL);
}

static void end(void)
{
	shell_end();
	trial_close(&trial);
}

TestSuite(vocabulary, .init = begin, .fini = end);

static const struct vocabulary_element *kind_named(const char *name)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++)
		if (strcmp(trial.vocabulary->elements[i]->name, name) == 0)
			return trial.vocabulary->elements[i];
	cr_assert_fail("no element %s", name);
	return NULL;
}

static const struct vocabulary_entry *entry_of(const char *kind, const char *attribute)
{
	struct vocabulary_entries entries =
		vocabulary_entries(&trial.arena, trial.vocabulary, trial.catalogue, kind_named(kind));
	for (size_t i = 0; i < entries.count; i++)
		if (strcmp(entries.rows[i].attribute->name, attribute) == 0)
			return &entries.rows[i];
	cr_assert_fail("%s has no %s", kind, attribute);
	return NULL;
}

/* The sample inside an element that may hold it, and that in another, up to the unit. */
static const char *within_holders(const struct vocabulary_element *kind, const char *sample)
{
	const struct vocabulary *units = trial.vocabulary;
	if (strcmp(kind->name, "unit") == 0)
		return sample;
	for (size_t i = 0; i < units->element_count; i++)
		if (vocabulary_child(units->elements[i], kind->name) == kind && units->elements[i] != kind) {
			const char *own = vocabulary_sample(&trial.arena, units->elements[i]);
			const char *open = arena_copy_span(&trial.arena, own, strlen(own) - strlen("/>"));
			const char *tagged = strstr(open, "\"E-302\"");
			if (tagged) /* a tag is used once */
				open = arena_format(&trial.arena, "%.*s\"H-%zu\"%s", (int)(tagged - open), open, i,
					tagged + strlen("\"E-302\""));
			return within_holders(units->elements[i],
				arena_format(&trial.arena, "%s>%s</%s>", open, sample, units->elements[i]->name));
		}
	cr_assert_fail("%s stands nowhere", kind->name);
	return NULL;
}

/* Structure, choices, units: what the program says of a description that holds the sample and nothing else. */
Test(vocabulary, every_sample_is_accepted)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++) {
		const struct vocabulary_element *kind = trial.vocabulary->elements[i];
		const char *whole = within_holders(kind, vocabulary_sample(&trial.arena, kind));
		cr_assert(strncmp(whole, "<unit", 5) == 0);
		const char *text = arena_format(&trial.arena, "<unit xmlns='urn:leanrich:unit:1'%s", whole + 5);
		trial.problems.count = 0;
		element_parse(&trial.arena, kind->name, text, strlen(text), trial.vocabulary, &trial.problems);
		cr_expect(trial.problems.count == 0, "%s\n%s", text, trial_messages(&trial));
	}
}

/* Every example of a number is read by the type it is the example of. */
Test(vocabulary, every_example_is_a_value_of_its_type)
{
	size_t read = 0;
	for (size_t i = 0; i < trial.vocabulary->element_count; i++) {
		const struct vocabulary_element *kind = trial.vocabulary->elements[i];
		for (size_t k = 0; k < kind->attribute_count; k++) {
			const struct vocabulary_type *type = kind->attributes[k].type;
			struct quantity value;
			if (!kind_is_number(type->accepted.kinds[0]))
				continue;
			cr_expect(quantity_parse(&trial.arena, type->example, type->name, type->accepted, 101325,
					  (struct place){0}, &trial.problems, &value),
				"%s", trial_messages(&trial));
			read++;
		}
	}
	cr_expect(read > 300, "%zu", read);
}

Test(vocabulary, an_entry_tells_units_choices_and_who_reads)
{
	const struct vocabulary_entry *size = entry_of("line", "size"), *pwht = entry_of("line", "pwht");
	cr_expect(strstr(size->written, "NPS 6"), "%s", size->written);
	cr_expect(strstr(pwht->read_by, "FAB-001"), "%s", pwht->read_by);
	cr_expect(strstr(pwht->used_for, "stress-relieved"), "%s", pwht->used_for);
	cr_expect(text_has_word(size->used_for, "bore,"), "%s", size->used_for);
	cr_expect(strstr(pwht->traits, "parts that do not state it"), "%s", pwht->traits);
	const struct vocabulary_entry *strength = entry_of("solvent", "strength");
	cr_expect(
		strstr(strength->written, "wt%") && strstr(strength->written, "+/- 1.00 wt%"), "%s", strength->written);
	const struct vocabulary_entry *role = entry_of("valve", "role");
	cr_expect(strstr(role->written, "letdown"), "%s", role->written);
}

/* Of the solvent, though the rules are about lines and vessels. */
Test(vocabulary, what_is_read_from_another_item_counts)
{
	cr_expect(strstr(entry_of("solvent", "amine")->read_by, "CRK-001"));
	cr_expect(strstr(entry_of("basis", "kind")->read_by, "no rule") == NULL);
}

Test(vocabulary, help_prints_every_attribute)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++) {
		const struct vocabulary_element *kind = trial.vocabulary->elements[i];
		struct run run =
			shell(&trial.arena, arena_format(&trial.arena, "\"$LEANRICH\" help describing %s", kind->name));
		cr_expect(run.status == 0);
		for (size_t k = 0; k < kind->attribute_count; k++)
			cr_expect(strstr(run.output, arena_format(&trial.arena, "\n  %s", kind->attributes[k].name)),
				"%s of %s", kind->attributes[k].name, kind->name);
	}
	struct run list = shell(&trial.arena, "\"$LEANRICH\" help describing");
	for (size_t i = 0; i < trial.vocabulary->element_count; i++)
		cr_expect(strstr(
			list.output, arena_format(&trial.arena, "\n  %s ", trial.vocabulary->elements[i]->name)));
}

/* Each is listed with its title and prints itself; a line that names a file which the program carries becomes that file. */
Test(vocabulary, every_topic_is_listed_and_prints_itself)
{
	static const char folder[] = "checker/help/";
	struct run list = shell(&trial.arena, "\"$LEANRICH\" help");
	size_t topics = 0;
	for (size_t i = 0; i < embedded_count; i++) {
		const char *name = embedded_files[i].name, *text = (const char *)embedded_files[i].data;
		if (strncmp(name, folder, sizeof folder - 1) != 0)
			continue;
		name = arena_copy_span(&trial.arena, name + sizeof folder - 1, strcspn(name + sizeof folder - 1, "."));
		const char *title = arena_copy_span(&trial.arena, text, strcspn(text, "\n"));
		cr_expect(strstr(list.output, arena_format(&trial.arena, "\n  %-12s %s\n", name, title)), "%s", name);
		struct run run = shell(&trial.arena, arena_format(&trial.arena, "\"$LEANRICH\" help %s", name));
		const char *table = strstr(text, "\n{");
		size_t same = table ? (size_t)(table - text) : strlen(text);
		cr_expect(run.status == 0 && strncmp(run.output, text, same) == 0, "%s", name);
		topics++;
	}
	cr_expect(topics >= 11, "%zu", topics);
}

Test(vocabulary, help_prints_the_table_of_the_pilot_plant_as_it_is)
{
	struct run run = shell(&trial.arena, "\"$LEANRICH\" help validation");
	cr_expect(strstr(run.output, file_text(&trial.arena, "tests/data/pilot_table.txt")), "%s", run.output);
	cr_expect_null(strstr(run.output, "{tests"));
}

Test(vocabulary, help_prints_every_calculated_quantity)
{
	struct run run = shell(&trial.arena, "\"$LEANRICH\" help calculated");
	cr_expect(run.status == 0 && computed_row(0));
	for (size_t i = 0; computed_row(i); i++)
		cr_expect(strstr(run.output, arena_format(&trial.arena, "\n  %s (", computed_row(i)->name)), "%s",
			computed_row(i)->name);
	cr_expect(strstr(run.output, "  velocity (velocity; also stated)\n"), "%s", run.output);
}

Test(vocabulary, help_knows_its_topics_and_the_nearest)
{
	struct run run = shell(&trial.arena, "\"$LEANRICH\" help");
	cr_expect(run.status == 0 && strstr(run.output, "describing"), "%s", run.output);
	run = shell(&trial.arena, "\"$LEANRICH\" help describing lien");
	cr_expect(run.status == 2 && strstr(run.errors, "did you mean 'line'?"), "%s", run.errors);
	run = shell(&trial.arena, "\"$LEANRICH\" help descrbing");
	cr_expect(run.status == 2 && strstr(run.errors, "did you mean 'describing'?"), "%s", run.errors);
	run = shell(&trial.arena,
		"\"$LEANRICH\" help describing --html \"$SCRATCH/v.html\" && "
		"xmllint --html --noout \"$SCRATCH/v.html\" 2>&1 | grep -v 'Tag .* invalid' | grep -c error; "
		"grep -c 'id=\"kind-line\"' \"$SCRATCH/v.html\"");
	cr_expect_str_eq(run.output, "0\n1\n");
}

/* An editor may be told where the schema lies; a review takes no notice, and what it names is not opened. */
Test(vocabulary, the_place_of_the_schema_may_be_stated)
{
	static const char text[] =
		"<unit xmlns='urn:leanrich:unit:1' xmlns:xsi='http://www.w3.org/2001/XMLSchema-instance' "
		"xsi:schemaLocation='urn:leanrich:unit:1 /nowhere/unit.xsd' number='U-1'><basis/></unit>";
	cr_expect_not_null(element_parse(&trial.arena, "x", text, strlen(text), trial.vocabulary, &trial.problems));
	cr_expect(trial.problems.count == 0, "%s", trial_messages(&trial));
	static const char typed[] =
		"<unit xmlns='urn:leanrich:unit:1' xmlns:xsi='http://www.w3.org/2001/XMLSchema-instance' "
		"xsi:type='other'/>";
	element_parse(&trial.arena, "x", typed, strlen(typed), trial.vocabulary, &trial.problems);
	cr_expect(trial.problems.count == 1, "%s", trial_messages(&trial));
}

Test(vocabulary, the_schema_is_printed_whole)
{
	struct run run = shell(&trial.arena,
		"\"$LEANRICH\" schema | cmp - checker/read/unit.xsd && \"$LEANRICH\" schema >\"$SCRATCH/unit.xsd\" && "
		"xmllint --noout --schema \"$SCRATCH/unit.xsd\" designs/curlew-spit.xml");
	cr_expect(run.status == 0, "%s", run.errors);
}
