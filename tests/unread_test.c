/*
 * What nothing reads: the attributes of the schema, by kind of item; and that taking away what is said to be unread, or owing
 * what is stated, never makes a verdict better.
 */
#include <criterion/criterion.h>
#include <glob.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "pipeline/compute_unit.h"
#include "resolve/resolve.h"
#include "revamp/variant.h"
#include "review_support.h"

static struct trial trial;
static struct arena kept; /* outlives the trial of one design */

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
	arena_release(&kept);
}

TestSuite(unread, .init = begin, .fini = end);

/* ---- the attributes that nothing reads ---- */

/* "stream nh3" for every kind of item and attribute that anything was seen to read. */
struct seen {
	const char **rows; /* open addressing, a power of two */
	size_t capacity, count;
};

static struct seen seen;

static const char **row_of(const char *name)
{
	size_t at = text_hash(name) & (seen.capacity - 1);
	while (seen.rows[at] && strcmp(seen.rows[at], name) != 0)
		at = (at + 1) & (seen.capacity - 1);
	return &seen.rows[at];
}

static void see(const char *kind, const char *name)
{
	char key[200];
	snprintf(key, sizeof key, "%s %s", kind, name);
	const char **row = row_of(key);
	if (*row)
		return;
	cr_assert_lt(2 * ++seen.count, seen.capacity);
	*row = arena_copy(&kept, key);
}

static bool is_seen(const char *kind, const char *name)
{
	return *row_of(arena_format(&kept, "%s %s", kind, name)) != NULL;
}

static void look(const struct item *item, const char *name, void *data)
{
	(void)data;
	see(item->kind, text_ends(name, "-family") ? arena_copy_span(&kept, name, strlen(name) - 7) : name);
}

/* Whatever is looked for, there or not; and what was read as a copy: by a part, by what carries a stream. */
static void watch_design(const char *path)
{
	static const struct watcher watcher = {.look = look};
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	const struct element *unit = element_read(&arena, path, trial.vocabulary, &problems);
	cr_assert_not_null(unit, "%s", path);
	struct table *resolved = resolve(&arena, unit, &problems);
	cr_assert_not_null(resolved, "%s", path);
	table_watch(resolved, &watcher);
	struct computed_unit computed = compute_unit(&arena, resolved, (struct compute_options){.no_samples = true});
	struct judgement judgement = judge(&arena, trial.catalogue, computed.table, EVERY_CASE);
	review_make(&arena, path, computed.table, computed.lean_side, computed.reconciled, trial.catalogue, judgement);
	size_t count;
	const struct statement *all = table_statements(resolved, &count);
	for (size_t i = 0; i < count; i++)
		if (*all[i].read)
			see(all[i].item->kind, all[i].name);
	arena_release(&arena);
}

static void watch_designs(const char *pattern)
{
	glob_t found;
	cr_assert_eq(glob(pattern, 0, NULL, &found), 0);
	for (size_t i = 0; i < found.gl_pathc; i++)
		watch_design(found.gl_pathv[i]);
	globfree(&found);
}

/* What rules say they read, in whatever design. */
static void watch_rules(void)
{
	for (size_t r = 0; r < trial.catalogue->rule_count; r++) {
		const struct rule *rule = &trial.catalogue->rules[r];
		for (size_t s = 0; s < rule->selection_count; s++)
			for (const char *at = rule->selections[s].kinds; *at;) {
				size_t length = strcspn(at, "|");
				struct item item = {.kind = arena_copy_span(&kept, at, length)};
				for (size_t i = 0; i < rule->input_count; i++)
					if (!*rule->inputs[i].of && !rule->inputs[i].constant)
						look(&item, rule->inputs[i].quantity, NULL);
				for (size_t i = 0; i < rule->selections[s].conditions.count; i++)
					look(&item, rule->selections[s].conditions.rows[i].name, NULL);
				at += length + (at[length] == '|');
			}
	}
}

/* A part that does not state it has it from what it is part of. */
static bool is_read_by_parts(const struct vocabulary_element *element, const char *name, int depth)
{
	for (size_t i = 0; depth < 4 && i < element->child_count; i++) {
		const struct vocabulary_element *child = element->children[i];
		const struct vocabulary_attribute *attribute = vocabulary_attribute(child, name);
		if (attribute && attribute->inherited &&
			(is_seen(child->name, name) || is_read_by_parts(child, name, depth + 1)))
			return true;
	}
	return false;
}

static bool is_statement(const struct vocabulary_element *element, const struct vocabulary_attribute *attribute)
{
	return strcmp(attribute->type->name, "tag") != 0 && !text_has_word("data was", attribute->name) &&
		!statement_is_printed(element->name, attribute->name) && strcmp(element->name, "note") != 0;
}

static bool is_unread(const struct vocabulary_element *element, const struct vocabulary_attribute *attribute)
{
	return is_statement(element, attribute) && !is_seen(element->name, attribute->name) &&
		!(attribute->inherited && is_read_by_parts(element, attribute->name, 0));
}

static int by_name(const void *a, const void *b)
{
	return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* "colour: solvent": an attribute a line, with the kinds of item that carry it in vain. */
static const char *unread_attributes(void)
{
	enum { AT_MOST = 4096 };
	struct text out = text_in(&kept);
	const char **names = arena_alloc(&kept, AT_MOST * sizeof *names);
	size_t count = 0;
	for (size_t i = 0; i < trial.vocabulary->element_count; i++)
		for (size_t k = 0; k < trial.vocabulary->elements[i]->attribute_count; k++) {
			const struct vocabulary_element *element = trial.vocabulary->elements[i];
			cr_assert_lt(count, AT_MOST);
			if (is_unread(element, &element->attributes[k]))
				names[count++] =
					arena_format(&kept, "%s: %s", element->attributes[k].name, element->name);
		}
	qsort(names, count, sizeof *names, by_name);
	for (size_t i = 0; i < count; i++) {
		size_t length = strcspn(names[i], ":");
		bool same = i > 0 && strncmp(names[i], names[i - 1], length + 1) == 0;
		text_addf(&out, "%s%s", same ? "" : i ? "\n" : "", same ? names[i] + length + 1 : names[i]);
	}
	text_add(&out, "\n");
	return out.data;
}

/* Those whose name is said to be printed are called by it, and no others. */
Test(unread, a_name_that_is_printed_is_part_of_what_an_item_is_called)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++) {
		const struct vocabulary_element *element = trial.vocabulary->elements[i];
		bool tagged = false;
		for (size_t k = 0; k < element->attribute_count; k++)
			tagged = tagged || strcmp(element->attributes[k].type->name, "tag") == 0;
		const struct vocabulary_attribute *name = vocabulary_attribute(element, "name");
		if (name && name->type->accepted.kinds[0] == KIND_TEXT && strcmp(element->name, "unit") != 0)
			cr_expect_eq(statement_is_printed(element->name, "name"), !tagged, "%s", element->name);
	}
}

/*
 * Every attribute of the schema that no rule and no calculation looks at, by kind of item. A new attribute enters the list, or
 * something reads it; the list is changed knowingly or not at all.
 */
Test(unread, printed_attributes_that_nothing_reads)
{
	seen = (struct seen){.capacity = 1 << 14};
	seen.rows = arena_alloc(&kept, seen.capacity * sizeof *seen.rows);
	watch_rules();
	watch_designs("designs/*.xml");
	watch_designs("tests/designs/*.xml");
	expect_listed(&kept, unread_attributes(), "tests/data/unread_attributes.txt");
}

/* Has the list a line "NAME: ..."? */
static bool lists(const char *list, const char *name, size_t length)
{
	for (const char *at = list; *at; at += strcspn(at, "\n"), at += *at == '\n')
		if (strncmp(at, name, length) == 0 && at[length] == ':')
			return true;
	return false;
}

/* The names of one list that the other lacks. */
static void expect_each_in(const char *list, const char *other, const char *what)
{
	for (const char *at = list; *at; at += strcspn(at, "\n"), at += *at == '\n') {
		size_t length = strcspn(at, ":");
		cr_expect(lists(other, at, length), "%.*s %s", (int)length, at, what);
	}
}

Test(unread, each_row_has_its_reason)
{
	const char *rows = file_text(&kept, "tests/data/unread_attributes.txt");
	const char *reasons = file_text(&kept, "tests/data/unread_reasons.txt");
	expect_each_in(rows, reasons, "is read by nothing: say why in tests/data/unread_reasons.txt, or read it");
	expect_each_in(reasons, rows, "is read now: take it out of tests/data/unread_reasons.txt");
}

/* ---- what is unread changes nothing ---- */

/* One description judged: what was unread in it, and what was found. */
struct judged {
	const struct table *table;
	struct statements statements;
	struct judgement judgement;
};

static struct judged judge_unit(const struct element *unit)
{
	struct problems problems = {.arena = &kept};
	struct judged judged = {.table = resolve(&kept, unit, &problems)};
	cr_assert_not_null(judged.table);
	struct computed_unit computed = compute_unit(&kept, judged.table, (struct compute_options){.no_samples = true});
	judged.judgement = judge(&kept, trial.catalogue, computed.table, EVERY_CASE);
	judged.statements = review_make(
		&kept, "", computed.table, computed.lean_side, computed.reconciled, trial.catalogue, judged.judgement)
				    ->statements;
	return judged;
}

/* Takes the attribute away that is at the place of the statement. */
struct removing {
	struct variant *variant;
	const struct statement *statement;
	size_t removed;
};

static void remove_at(const struct element *element, void *data)
{
	struct removing *removing = data;
	for (size_t i = 0; i < element->attribute_count; i++) {
		const struct attribute *attribute = &element->attributes[i];
		const struct place *place = &removing->statement->quantity->place;
		if (attribute->place.line != place->line || attribute->place.column != place->column ||
			attribute->meaning->required)
			continue;
		variant_set(removing->variant, element, attribute->meaning->name, NULL);
		removing->removed++;
	}
}

static size_t expect_nothing_changes(const char *path)
{
	struct problems problems = {.arena = &kept};
	struct variant variant = variant_in(&kept);
	const struct element *unit = element_read(&kept, path, trial.vocabulary, &problems);
	struct judged whole = judge_unit(unit);
	struct removing removing = {.variant = &variant};
	for (size_t i = 0; i < whole.statements.unread_count; i++) {
		removing.statement = whole.statements.unread[i];
		if (strcmp(removing.statement->name, "name") !=
			0) /* two of one name would be told apart by their lines */
			element_each(unit, remove_at, &removing);
	}
	struct judged without = judge_unit(variant_build(&kept, &variant, unit));
	cr_assert_eq(whole.judgement.count, without.judgement.count, "%s", path);
	for (size_t i = 0; i < whole.judgement.count; i++) {
		const struct finding *a = &whole.judgement.findings[i], *b = &without.judgement.findings[i];
		cr_expect(
			a->verdict == b->verdict && a->certainty == b->certainty && strcmp(a->message, b->message) == 0,
			"%s: %s of %s:\n%s\n%s", path, a->rule->id, a->item->tag, a->message, b->message);
	}
	return removing.removed;
}

/* All that is called unread is taken away at once, and every finding stays as it is, to the letter. */
Test(unread, what_is_unread_changes_no_finding)
{
	static const char *const patterns[] = {"designs/*.xml", "tests/designs/*.xml"};
	size_t removed = 0;
	for (size_t p = 0; p < COUNT(patterns); p++) {
		glob_t found;
		cr_assert_eq(glob(patterns[p], 0, NULL, &found), 0);
		for (size_t i = 0; i < found.gl_pathc; i++) {
			removed += expect_nothing_changes(found.gl_pathv[i]);
			arena_release(&kept);
		}
		globfree(&found);
	}
	cr_log_info("%zu statements taken away", removed);
	/* Design conditions, walls, valves, soft parts and relief cases are read by now, so that less is left. */
	cr_expect(removed > 200, "%zu", removed);
}

/* ---- what is owed passes nothing ---- */

struct owing_each {
	const char *path;
	const struct element *unit;
	struct judged whole;
	size_t step, at, tried;
};

static const struct finding *same_finding(const struct judged *judged, const struct finding *finding)
{
	for (size_t i = 0; i < judged->judgement.count; i++) {
		const struct finding *other = &judged->judgement.findings[i];
		if (other->rule == finding->rule && strcmp(other->item->tag, finding->item->tag) == 0)
			return other;
	}
	return NULL;
}

static bool may_be_owed(const struct element *element, const struct attribute *attribute)
{
	return !attribute->meaning->required &&
		!text_has_word("tag reference references", attribute->meaning->type->name) &&
		!text_has_word("case document data was name", attribute->meaning->name) && !element_is(element, "case");
}

/* Another document says it too, and then its value holds. */
static bool is_stated_again(const struct element *element, const char *name)
{
	for (size_t i = 0; i < element->child_count; i++)
		for (size_t k = 0;
			element_is(element->children[i], "stated") && k < element->children[i]->attribute_count; k++)
			if (strcmp(element->children[i]->attributes[k].meaning->name, name) == 0)
				return true;
	return false;
}

static void owe_one(struct owing_each *each, const struct element *element, const struct attribute *attribute)
{
	struct variant variant = variant_in(&kept);
	variant_set(&variant, element, attribute->meaning->name, "t.b.d.");
	struct judged owing = judge_unit(variant_build(&kept, &variant, each->unit));
	for (size_t i = 0; i < owing.judgement.count; i++) {
		const struct finding *finding = &owing.judgement.findings[i];
		const struct finding *before =
			finding->verdict == VERDICT_MEETS ? same_finding(&each->whole, finding) : NULL;
		cr_expect(!before || before->verdict != VERDICT_DEPARTS, "%s:%d: %s owed: %s of %s is met", each->path,
			attribute->place.line, attribute->meaning->name, finding->rule->id, finding->item->tag);
	}
	cr_expect_eq(owing.statements.owed_count, 1, "%s:%d: %s", each->path, attribute->place.line,
		attribute->meaning->name);
}

static void owe_each(const struct element *element, void *data)
{
	struct owing_each *each = data;
	for (size_t i = 0; i < element->attribute_count; i++)
		if (may_be_owed(element, &element->attributes[i]) &&
			!is_stated_again(element, element->attributes[i].meaning->name) &&
			each->at++ % each->step == 0) {
			owe_one(each, element, &element->attributes[i]);
			each->tried++;
		}
}

#ifdef __SANITIZE_ADDRESS__
enum { SPARSE = 7 };
#else
enum { SPARSE = 1 };
#endif

/* Each value owed in turn: what departed with the value is never met without. */
Test(unread, nothing_is_met_because_a_value_is_owed)
{
	static const struct {
		const char *path;
		size_t step;
	} rows[] = {{"designs/curlew-spit.xml", 1}, {"designs/heron-gate.xml", 1}, {"designs/tern-quay.xml", 9}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct problems problems = {.arena = &kept};
		struct owing_each each = {.path = rows[i].path, .step = rows[i].step * SPARSE};
		each.unit = element_read(&kept, each.path, trial.vocabulary, &problems);
		each.whole = judge_unit(each.unit);
		element_each(each.unit, owe_each, &each);
		cr_expect_gt(each.tried, 50 / SPARSE, "%s: %zu", each.path, each.tried);
		arena_release(&kept);
	}
}
