/* The one list of kinds: held to the schema, and the classes of it that rules select by. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "base/embedded.h"
#include "base/text.h"
#include "resolve/equipment.h"
#include "resolve/service.h"
#include "resolve/table.h"
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

TestSuite(equipment, .init = begin, .fini = end);

static const struct vocabulary_element *element_named(const struct vocabulary *units, const char *name)
{
	for (size_t i = 0; i < units->element_count; i++)
		if (strcmp(units->elements[i]->name, name) == 0)
			return units->elements[i];
	return NULL;
}

static const char *twice_in_list(void)
{
	for (size_t i = 0; equipment_kind(i); i++)
		for (size_t k = 0; k < i; k++)
			if (strcmp(equipment_kind(i), equipment_kind(k)) == 0)
				return equipment_kind(i);
	return NULL;
}

/* ---- against the schema ---- */

Test(equipment, every_child_of_unit_and_every_part_has_a_row)
{
	const char *without = equipment_without_row(trial.vocabulary);
	cr_expect_null(without, "equipment.def has no row for '%s'", without);
	cr_expect_null(twice_in_list());
}

Test(equipment, every_row_is_an_element_or_made_by_resolving)
{
	for (size_t i = 0; equipment_kind(i); i++)
		cr_expect(element_named(trial.vocabulary, equipment_kind(i)) ||
				strcmp(equipment_kind(i), "contradiction") == 0,
			"%s", equipment_kind(i));
}

/* The schema with a kind added under `unit` as somebody would add it. */
static const struct vocabulary *schema_with(const char *kind)
{
	static const char child[] = "<xs:element ref=\"vessel\"/>", declared[] = "<xs:element name=\"vessel\"";
	const struct embedded_file *xsd = embedded_find("checker/read/unit.xsd");
	const char *text = arena_copy_span(&trial.arena, (const char *)xsd->data, xsd->size);
	const char *in_unit = strstr(text, child), *before = strstr(text, declared);
	cr_assert(in_unit && before && in_unit < before);
	const char *more = arena_format(&trial.arena,
		"%.*s<xs:element ref=\"%s\"/>%.*s<xs:element name=\"%s\" type=\"vessel\"/>%s", (int)(in_unit - text),
		text, kind, (int)(before - in_unit), in_unit, kind, before);
	return vocabulary_read(&trial.arena, more, strlen(more), "unit");
}

Test(equipment, a_kind_added_to_the_schema_without_a_row_is_found)
{
	const struct vocabulary *more = schema_with("ammonia-stripper");
	cr_assert(vocabulary_child(vocabulary_root(more, "unit"), "ammonia-stripper"));
	const char *without = equipment_without_row(more);
	cr_assert_not_null(without);
	cr_expect_str_eq(without, "ammonia-stripper");
	cr_expect_eq(equipment_classes("ammonia-stripper"), 0U);
	cr_expect_eq(equipment_rank("ammonia-stripper"), equipment_rank("note"), "last");
}

/* An injection and a coupon state a metal of which nothing but its fitness is asked. */
Test(equipment, what_states_a_material_is_of_metal)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++) {
		const struct vocabulary_element *kind = trial.vocabulary->elements[i];
		bool states = vocabulary_attribute(kind, "material") != NULL;
		bool outside = text_has_word("injection coupon", kind->name);
		if (states && !outside)
			cr_expect(equipment_classes(kind->name) & CLASS_METAL, "%s", kind->name);
	}
}

/* Classes that mean a part of another, whatever kind is added. */
Test(equipment, narrower_classes_lie_in_wider_ones)
{
	static const struct {
		unsigned narrow, wide;
	} pairs[] = {{CLASS_WETTED, CLASS_METAL}, {CLASS_DAMAGE, CLASS_WETTED}, {CLASS_KETTLE, CLASS_HEAT_EXCHANGER},
		{CLASS_TUBES, CLASS_SIDE}, {CLASS_SIDE, CLASS_FLOW}, {CLASS_AMINE_VESSEL, CLASS_AMINE},
		{CLASS_AMINE_VESSEL, CLASS_SOUR_VESSEL}, {CLASS_AMINE_STEEL, CLASS_WETTED},
		{CLASS_STEEL_IN_AMINE, CLASS_WETTED}, {CLASS_CONTACTOR, CLASS_TOWER}};
	for (size_t p = 0; p < COUNT(pairs); p++)
		for (size_t i = 0; equipment_kind(i); i++) {
			unsigned classes = equipment_classes(equipment_kind(i));
			cr_expect(!(classes & pairs[p].narrow) || (classes & pairs[p].wide), "%zu: %s", p,
				equipment_kind(i));
		}
}

Test(equipment, places_of_the_analysis_are_of_kinds_and_references_that_there_are)
{
	static const struct {
		const char *kind, *reference;
	} places[] = {
#define PLACE(kind, reference, label, own_temperature, side, rank) {kind, reference},
#include "resolve/equipment.def"
	};
	for (size_t i = 0; i < COUNT(places); i++) {
		const struct vocabulary_element *kind = element_named(trial.vocabulary, places[i].kind);
		cr_assert(kind, "%s", places[i].kind);
		const char *at = places[i].reference;
		for (; at && *at; at += strcspn(at, "|"), at += *at == '|') {
			const char *own = arena_copy_span(&trial.arena, at, strcspn(at, "|>"));
			cr_expect(vocabulary_attribute(kind, own), "%s of %s", own, kind->name);
		}
	}
}

Test(equipment, an_item_knows_its_classes_and_nothing_is_of_none)
{
	static const struct operating_case normal = {.id = "normal", .title = "normal"};
	struct table *table = table_new(&trial.arena, &normal, 1);
	const struct item *drum = table_add_item(table, (struct item){.kind = "reflux-drum", .tag = "V-1", .text = ""});
	cr_expect(item_in(drum, CLASS_OVERHEAD) && item_in(drum, CLASS_AMINE | CLASS_OVERHEAD));
	cr_expect_not(item_in(drum, CLASS_AMINE));
	cr_expect_not(item_in(NULL, CLASS_AMINE));
}

/* ---- classes in rules ---- */

static const char *expanded(const char *words)
{
	trial.problems.count = 0;
	return equipment_expand(&trial.arena, words, (struct place){.file = "pack.xml"}, &trial.problems);
}

Test(equipment, classes_stand_for_their_kinds_once_each)
{
	cr_expect_str_eq(expanded("@contactor"), "absorber|treater");
	cr_expect_str_eq(expanded("line|@contactor|absorber|note"), "line|absorber|treater|note");
	cr_expect_str_eq(expanded("@tubes|@side"), "tube-side|plate-side|shell-side");
	cr_expect_str_eq(expanded("vessel|line"), "vessel|line");
	cr_expect_str_eq(expanded("*"), "*");
	cr_expect_eq(trial.problems.count, 0U);
}

Test(equipment, every_class_has_kinds_and_a_meaning_and_can_be_named)
{
	for (size_t i = 0; equipment_class_name(i); i++) {
		cr_expect_eq(equipment_class_named(equipment_class_name(i)), i, "%s", equipment_class_name(i));
		cr_expect(*equipment_class_meaning(i) && *equipment_kinds_of(&trial.arena, i), "%s",
			equipment_class_name(i));
	}
	cr_expect_null(equipment_class_name(equipment_class_named("no such class")));
}

Test(equipment, every_unknown_class_is_a_fault_with_the_nearest)
{
	expanded("@contacter|line|@amine|@zzzz|@");
	cr_expect_str_eq(trial_messages(&trial),
		"pack.xml: bad-rule: there is no class of kinds '@contacter'; did you mean '@contactor'?\n"
		"pack.xml: bad-rule: there is no class of kinds '@zzzz'\n"
		"pack.xml: bad-rule: there is no class of kinds '@'\n");
}

/* A rule by class is judged on the kinds of the class and on no other; so is a limit narrowed by one. */
Test(equipment, a_rule_may_select_and_narrow_by_class)
{
	trial_close(&trial);
	trial_open_with(&trial,
		"<rule id='TST-001' since='1' title='T' force='advisory' why-force='t' judged='d'>"
		"<select kind='@contactor|sump'/>"
		"<input name='d' quantity='design-pressure' kind='pressure'/>"
		"<limit at-most='1 bara' source='custom' known='read' name='all'/>"
		"<limit at-most='9 bara' source='read' known='read' name='towers' item='@tower'/>"
		"<message>m</message><why>w</why><remedy>r</remedy></rule>",
		NULL);
	trial_review_unit(&trial, "MDEA",
		"<absorber tag='C-1' design-pressure='5 bara'/><regenerator tag='C-2' design-pressure='5 bara'/>"
		"<flash-drum tag='V-1' design-pressure='5 bara'/>");
	const struct selection *selection = &catalogue_rule(trial.catalogue, "TST-001")->selections[0];
	cr_expect_str_eq(selection->kinds, "absorber|treater|sump");
	cr_expect_str_eq(selection->written, "@contactor|sump");
	cr_assert_not_null(trial_finding(&trial, "TST-001", "C-1"));
	cr_expect_eq(trial_finding(&trial, "TST-001", "C-1")->verdict, VERDICT_MEETS, "the limit for towers decides");
	cr_expect_null(trial_finding(&trial, "TST-001", "C-2"));
	cr_expect_null(trial_finding(&trial, "TST-001", "V-1"));
}

Test(equipment, explain_and_check_say_what_a_class_stands_for)
{
	shell_begin();
	struct run run = shell(&trial.arena, "\"$LEANRICH\" explain @contactor");
	cr_expect(run.status == 0 && strstr(run.output, "\n  absorber|treater\n"), "%s", run.output);
	run = shell(&trial.arena, "\"$LEANRICH\" explain @");
	cr_expect(run.status == 0 && strstr(run.output, "@contactor: ") && strstr(run.output, "@document: "));
	run = shell(&trial.arena, "\"$LEANRICH\" explain @contacter");
	cr_expect(run.status == 2 && strstr(run.errors, "did you mean @contactor?"), "%s", run.errors);
	run = shell(&trial.arena, "\"$LEANRICH\" explain CRK-001");
	cr_expect(strstr(run.output, "@amine-steel: absorber|treater|"), "%s", run.output);
	run = shell(&trial.arena, "\"$LEANRICH\" rules --check tests/packs/sound");
	cr_expect(run.status == 0 && strstr(run.output, "\n@contactor: "), "%s", run.output);
	run = shell(&trial.arena, "\"$LEANRICH\" rules --html \"$SCRATCH/rules.html\" && cat \"$SCRATCH/rules.html\"");
	cr_expect(strstr(run.output, "@amine-steel: absorber|treater|"));
	shell_end();
}

/* ---- services ---- */

/* The choices of every attribute `service`, each kind of item by kind. */
static bool is_service_of_schema(const char *word)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++) {
		const struct vocabulary_attribute *service =
			vocabulary_attribute(trial.vocabulary->elements[i], "service");
		if (service && vocabulary_choice(service->type, word))
			return true;
	}
	return false;
}

static bool has_row(const char *word)
{
	bool found = false;
	for (unsigned i = 0; service_word(i); i++)
		found = found || strcmp(service_word(i), word) == 0;
	return found;
}

/* A service that the schema gains says of itself what it holds, or tests of lean and rich pass it over in silence. */
Test(equipment, every_service_of_the_schema_has_a_row)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++) {
		const struct vocabulary_attribute *service =
			vocabulary_attribute(trial.vocabulary->elements[i], "service");
		for (size_t k = 0; service && k < service->type->choice_count; k++)
			cr_expect(has_row(service->type->choices[k].word), "service.def has no row for '%s' of a %s",
				service->type->choices[k].word, trial.vocabulary->elements[i]->name);
	}
	for (unsigned i = 0; service_word(i); i++)
		cr_expect(is_service_of_schema(service_word(i)), "no item has the service '%s'", service_word(i));
}

Test(equipment, a_service_is_of_all_classes_asked_for_or_not_at_all)
{
	cr_expect(service_is("lean/rich", SERVICE_LEAN) && service_is("lean/rich", SERVICE_RICH));
	cr_expect(!service_is("lean/rich", SERVICE_LEAN | SERVICE_FLOWING), "an exchanger is no stream");
	cr_expect(service_is("lean booster", SERVICE_LEAN | SERVICE_FLOWING));
	cr_expect(!service_is("lean booster", SERVICE_STREAM));
	cr_expect(
		!service_is(NULL, SERVICE_LEAN) && !service_is("", SERVICE_LEAN) && !service_is("leant", SERVICE_LEAN));
}
