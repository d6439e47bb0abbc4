/*
 * Published failures beside a finding (record/accounts.def): the table is sound, each account finds itself by its own conditions, what
 * is unlike finds none; and the designs written after accounts are told of theirs.
 */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/computed.h"
#include "record/accounts.h"
#include "resolve/equipment.h"
#include "review_support.h"
#include "write/write.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(nearest, .init = begin, .fini = end);

/* The first of several words separated by `|`. */
static const char *first_of(const char *words)
{
	size_t length;
	const char *part = text_alternative(&words, &length);
	return arena_copy_span(&trial.arena, part, length);
}

static const struct rule *rule_on(const char *matter)
{
	for (size_t i = 0; i < trial.catalogue->rule_count; i++)
		if (strcmp(trial.catalogue->rules[i].matter, matter) == 0)
			return &trial.catalogue->rules[i];
	cr_assert_fail("no rule is on the matter '%s'", matter);
	return NULL;
}

/* ---- a table that has what an account says, and nothing else ---- */

static bool is_word(enum kind kind)
{
	return !kind_is_number(kind) && kind != KIND_YES_NO;
}

static const struct quantity *said_quantity(enum compared code, const char *said)
{
	enum kind kind = compared_rows[code].kind;
	said = first_of(said);
	said += strncmp(said, "from ", 5) == 0 ? 5 : strncmp(said, "to ", 3) == 0 ? 3 : 0;
	if (is_word(kind))
		return quantity_default_word(&trial.arena, kind, said, "said");
	if (kind == KIND_YES_NO)
		return quantity_default(&trial.arena, kind, strcmp(said, "yes") == 0, 0, "said");
	struct quantity parsed;
	struct accepted accepted = {.kinds = {kind}, .count = 1};
	cr_assert(quantity_parse(&trial.arena, said, "said", accepted, 0, (struct place){0}, &trial.problems, &parsed),
		"%s of %s", said, compared_rows[code].name);
	return quantity_default(&trial.arena, kind, parsed.si, 0, "said");
}

struct scenery {
	struct table *table;
	const struct item *item; /* what the finding is on */
};

static const struct item *add(struct table *table, const char *kind)
{
	return table_add_item(table, (struct item){.kind = kind, .tag = kind});
}

static struct scenery scenery_of(const struct account *account)
{
	static const struct operating_case normal = {"normal", "normal", false};
	struct scenery scenery = {.table = table_new(&trial.arena, &normal, 1)};
	const char *equipment = account->said[COMPARED_EQUIPMENT];
	add(scenery.table, "unit");
	add(scenery.table, "basis");
	add(scenery.table, "solvent");
	scenery.item = add(scenery.table, equipment ? first_of(equipment) : "vessel");
	for (int code = 0; code < COMPARED_COUNT; code++) {
		const struct compared_row *row = &compared_rows[code];
		const struct item *item = table_follow(scenery.table, scenery.item, EVERY_CASE, row->of);
		if (account->said[code] && *row->quantity)
			table_put(scenery.table, item, EVERY_CASE, row->quantity,
				said_quantity((enum compared)code, account->said[code]));
	}
	return scenery;
}

static struct nearest nearest_on(const struct scenery *scenery, const char *matter)
{
	static struct finding finding;
	finding = (struct finding){.rule = rule_on(matter),
		.item = scenery->item,
		.operating_case = EVERY_CASE,
		.verdict = VERDICT_DEPARTS};
	return accounts_nearest(&trial.arena, scenery->table, trial.catalogue, &finding);
}

Test(nearest, each_account_finds_itself_first)
{
	const struct account *account;
	for (size_t i = 0; (account = account_at(i)) != NULL; i++) {
		struct scenery scenery = scenery_of(account);
		const char *matters = account->matters;
		size_t length;
		for (const char *part; (part = text_alternative(&matters, &length)) != NULL;) {
			const char *matter = arena_copy_span(&trial.arena, part, length);
			struct nearest nearest = nearest_on(&scenery, matter);
			cr_assert_gt(nearest.count, 0, "%s: nothing on %s", account->name, matter);
			cr_expect_eq(nearest.rows[0].account, account, "%s on %s: nearest is %s", account->name, matter,
				nearest.rows[0].account->name);
			cr_expect_str_eq(nearest.rows[0].unlike, "", "%s: %s", account->name, nearest.rows[0].unlike);
			cr_expect_str_eq(nearest.rows[0].unknown, "", "%s: %s", account->name, nearest.rows[0].unknown);
		}
	}
}

/* ---- the table ---- */

static bool is_quantity(const char *name)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++)
		if (vocabulary_attribute(trial.vocabulary->elements[i], name))
			return true;
	for (size_t i = 0; i < computed_count(); i++)
		if (strcmp(computed_name(i), name) == 0)
			return true;
	return false;
}

static bool is_kind_of_item(const char *word)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++)
		if (strcmp(trial.vocabulary->elements[i]->name, word) == 0)
			return true;
	return false;
}

/* Is it a word that some attribute of the schema may take? */
static bool is_choice(const char *word)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++) {
		const struct vocabulary_element *element = trial.vocabulary->elements[i];
		for (size_t k = 0; k < element->attribute_count; k++)
			if (vocabulary_choice(element->attributes[k].type, word))
				return true;
	}
	return false;
}

Test(nearest, what_accounts_say_is_in_the_words_of_descriptions)
{
	const struct account *account;
	for (size_t i = 0; (account = account_at(i)) != NULL; i++)
		for (int code = 0; code < COMPARED_COUNT; code++) {
			const char *said = account->said[code];
			size_t length;
			if (!said)
				continue;
			if (!is_word(compared_rows[code].kind)) {
				said_quantity((enum compared)code, said);
				continue;
			}
			for (const char *part; (part = text_alternative(&said, &length)) != NULL;) {
				const char *word = arena_copy_span(&trial.arena, part, length);
				bool known = code == COMPARED_EQUIPMENT ? is_kind_of_item(word)
					: code == COMPARED_METAL ? strcmp(word, "austenitic") == 0 || is_choice(word)
								 : is_choice(word);
				cr_expect(known, "%s: %s '%s'", account->name, compared_rows[code].name, word);
			}
		}
}

Test(nearest, every_account_has_a_source_a_matter_and_something_to_compare)
{
	const struct account *account;
	for (size_t i = 0; (account = account_at(i)) != NULL; i++) {
		const struct source *source = catalogue_source(trial.catalogue, account->source);
		size_t said = 0, length;
		cr_assert_not_null(source, "%s: no source '%s'", account->name, account->source);
		cr_expect(
			strcmp(source->key, "practitioners") != 0 || strstr(account->clause, "practitioners' account"),
			"%s does not say that practitioners tell it", account->name);
		for (int code = 0; code < COMPARED_COUNT; code++)
			said += account->said[code] != NULL;
		cr_expect_geq(said, 1, "%s", account->name);
		const char *matters = account->matters;
		for (const char *part; (part = text_alternative(&matters, &length)) != NULL;)
			cr_expect(*rule_matter_meaning(arena_copy_span(&trial.arena, part, length)),
				"%s: no matter '%.*s'", account->name, (int)length, part);
		for (size_t k = 0; k < i; k++)
			cr_expect_str_neq(account->name, account_at(k)->name);
	}
	for (int code = 0; code < COMPARED_COUNT; code++)
		cr_expect(!*compared_rows[code].quantity || is_quantity(compared_rows[code].quantity), "%s",
			compared_rows[code].quantity);
}

/* ---- what is unlike ---- */

static const struct account *account_named(const char *name)
{
	const struct account *account;
	for (size_t i = 0; (account = account_at(i)) != NULL; i++)
		if (strcmp(account->name, name) == 0)
			return account;
	cr_assert_fail("no account '%s'", name);
	return NULL;
}

Test(nearest, what_is_unlike_finds_nothing)
{
	struct account unlike = {.said = {[COMPARED_AMINE] = "DGA",
					 [COMPARED_METAL] = "austenitic",
					 [COMPARED_RELIEVED] = "yes",
					 [COMPARED_EQUIPMENT] = "pump"}};
	struct scenery scenery = scenery_of(&unlike);
	cr_expect_eq(nearest_on(&scenery, "stress relief").count, 0);
	struct scenery alike = scenery_of(account_named("lean line that leaked at its welds"));
	cr_expect_gt(nearest_on(&alike, "stress relief").count, 0);
	cr_expect_eq(nearest_on(&alike, "make-up water").count, 0, "alike, but no damage of that matter");
}

/* Half alike is not nearest: as much is unlike as alike. */
Test(nearest, as_much_unlike_as_alike_is_not_told)
{
	struct account half = {.said = {[COMPARED_METAL] = "carbon steel", [COMPARED_RELIEVED] = "yes"}};
	struct account most = {
		.said = {[COMPARED_METAL] = "carbon steel", [COMPARED_RELIEVED] = "no", [COMPARED_AMINE] = "DGA"}};
	struct scenery scenery = scenery_of(&half);
	cr_expect_eq(nearest_on(&scenery, "stress relief quality").count, 0);
	scenery = scenery_of(&most);
	struct nearest nearest = nearest_on(&scenery, "cold forming");
	cr_assert_eq(nearest.count, 1);
	cr_expect_str_eq(nearest.rows[0].alike, "metal carbon steel; stress relieved no");
	cr_expect_str_eq(nearest.rows[0].unlike, "amine DGA here, MEA or DEA or MDEA or DIPA there");
}

/* A number is alike within a quarter of the larger, a temperature within 15 K, "from" on its own side whatever the distance. */
Test(nearest, numbers_have_stated_borders)
{
	static const struct {
		enum compared code;
		const char *here, *of;
		bool alike;
	} rows[] = {
		{COMPARED_TEMPERATURE, "64 degC", "lean line that leaked at its welds", true},
		{COMPARED_TEMPERATURE, "66 degC", "lean line that leaked at its welds", false},
		{COMPARED_STRENGTH, "9.9 wt%", "vessel in weak DEA that cracked away from its welds", true},
		{COMPARED_STRENGTH, "10.1 wt%", "vessel in weak DEA that cracked away from its welds", false},
		{COMPARED_VELOCITY, "9 m/s", "rich DEA in exchanger tubes, too fast", true},
		{COMPARED_VELOCITY, "1.5 m/s", "rich DEA in exchanger tubes, too fast", false},
		{COMPARED_OF_MINIMUM_FLOW, "0.2", "lean booster pump below its minimum flow", true},
		{COMPARED_OF_MINIMUM_FLOW, "1.1", "lean booster pump below its minimum flow", false},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct account account = *account_named(rows[i].of);
		account.said[rows[i].code] = rows[i].here;
		struct scenery scenery = scenery_of(&account);
		struct nearest nearest = nearest_on(&scenery, first_of(account.matters));
		cr_assert_gt(nearest.count, 0, "%s", rows[i].here);
		cr_assert_str_eq(nearest.rows[0].account->name, rows[i].of);
		cr_expect_eq(!*nearest.rows[0].unlike, rows[i].alike, "%s: %s", rows[i].here, nearest.rows[0].unlike);
	}
}

/* ---- whole reviews ---- */

Test(nearest, designs_after_an_account_are_told_of_it)
{
	static const struct {
		const char *design, *rule, *item, *account;
	} rows[] = {
		{"k01", "CRK-019", "Replaced lower course", "MEA absorber that ruptured in 1984"},
		{"k02-mea", "CRK-001", "6-P-1", "lean line that leaked at its welds"},
		{"k08", "MAT-007", "E-1 plate side", "plates of 304 cracked between grains"},
		{"k10", "PMP-001", "P-1", "lean booster pump below its minimum flow"},
		{"k15", "VEL-008", "E-17 tube side", "rich DEA in exchanger tubes, too fast"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review_file(&trial, arena_format(&trial.arena, "tests/designs/%s.xml", rows[i].design));
		cr_assert_not_null(trial.review, "%s", rows[i].design);
		const struct nearest *found = NULL;
		for (size_t k = 0; k < trial.review->nearest_count && !found; k++) {
			const struct finding *finding = trial.review->nearest[k].finding;
			if (strcmp(finding->rule->id, rows[i].rule) == 0 && strstr(finding->item->tag, rows[i].item))
				found = review_nearest(trial.review, finding);
		}
		cr_assert_not_null(found, "%s: nothing beside %s on %s", rows[i].design, rows[i].rule, rows[i].item);
		cr_expect_str_eq(found->rows[0].account->name, rows[i].account, "%s", rows[i].design);
	}
}

static bool page_says(bool (*write)(const struct review *, const char *, FILE *), const char *words)
{
	char *bytes = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&bytes, &size);
	cr_assert_not_null(out);
	bool written = write(trial.review, "A4", out);
	fclose(out);
	cr_assert(written);
	bool says = strstr(bytes, words) != NULL;
	free(bytes);
	return says;
}

static bool on_screen(const struct review *review, const char *sheet, FILE *out)
{
	(void)sheet;
	return write_html(review, out);
}

Test(nearest, folded_on_a_screen_and_in_the_appendix_on_paper)
{
	trial_review_file(&trial, "tests/designs/k02-mea.xml");
	cr_assert_not_null(trial.review);
	cr_expect(page_says(on_screen, "Nearest published failures"));
	cr_expect(!page_says(write_html_for_paper, "Nearest published failures"));
	cr_expect(page_says(on_screen, "lean line that leaked at its welds"));
	cr_expect(page_says(write_html_for_paper, "lean line that leaked at its welds"));
}
