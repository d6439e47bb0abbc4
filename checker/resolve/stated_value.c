#include "resolve/stated_value.h"

#include <math.h>
#include <string.h>

#include "base/date.h"
#include "base/text.h"
#include "resolve/pipe.h"

static bool check_date(const struct attribute *attribute, struct problems *problems)
{
	struct date date;
	bool is_date = date_read(attribute->written, &date);
	if (!is_date)
		problem_add(problems, PROBLEM_NOT_A_DATE, attribute->place,
			"%s: '%s'; a date is written year-month-day: 2026-09-14, or 2026-09, or 2026 alone",
			attribute->meaning->name, attribute->written);
	return is_date;
}

static bool read_word(const struct attribute *attribute, struct problems *problems, struct quantity *out)
{
	const struct vocabulary_type *type = attribute->meaning->type;
	const char *written = attribute->written;
	out->word = written;
	switch (out->kind) {
	case KIND_WORD: /* the choice was checked with the structure */
		return vocabulary_choice(type, written) != NULL;
	case KIND_YES_NO:
		out->si = strcmp(written, "yes") == 0;
		out->word = out->si > 0 ? "yes" : "no";
		return true;
	case KIND_DATE:
		return check_date(attribute, problems);
	default:
		break;
	}
	if (strcmp(type->name, "pipe-size") == 0)
		return (out->word = pipe_size_parse(written, attribute->place, problems)) != NULL;
	if (strcmp(type->name, "schedule") == 0)
		return (out->word = pipe_schedule_parse(written, attribute->place, problems)) != NULL;
	return true;
}

static void owe(
	struct arena *arena, const struct attribute *attribute, const struct stating *stating, struct quantity *out)
{
	out->known = UNKNOWN;
	out->owed = true;
	out->missing_of = stating->item;
	out->missing = attribute->meaning->name;
	out->unrecorded = written_is_unrecorded(attribute->written);
	out->reason = arena_format(arena, "%s of %s is %s: %s%s%sstated as %s%s%s", attribute->meaning->name,
		stating->item->tag, out->unrecorded ? "not on record" : "owed", stating->case_title ? "for " : "",
		stating->case_title ? stating->case_title : "", stating->case_title ? " " : "", attribute->written,
		*stating->document ? " in " : "", stating->document);
}

/* Does it end in the mark of a pressure that may be gauge or absolute: "62 bar?" */
static bool is_undecided(const struct attribute *attribute)
{
	size_t length = strlen(attribute->written);
	return attribute->meaning->type->accepted.kinds[0] == KIND_PRESSURE && length > 1 &&
		attribute->written[length - 1] == '?';
}

static bool read_as(struct arena *arena, const struct attribute *attribute, double barometric, char basis,
	struct problems *problems, struct quantity *out)
{
	const char *plain = arena_copy_span(arena, attribute->written, strlen(attribute->written) - 1);
	return quantity_parse(arena, arena_format(arena, "%s%c", plain, basis), attribute->meaning->name,
		attribute->meaning->type->accepted, barometric, attribute->place, problems, out);
}

/* Taken as absolute; what it is as gauge is kept beside it, and the unit is judged with that too. */
static bool read_undecided(struct arena *arena, const struct attribute *attribute, double barometric,
	struct problems *problems, struct quantity *out)
{
	struct problems ignored = {.arena = arena};
	struct quantity gauge;
	if (!read_as(arena, attribute, barometric, 'a', &ignored, out) ||
		!read_as(arena, attribute, barometric, 'g', &ignored, &gauge)) {
		problem_add(problems, PROBLEM_NOT_A_NUMBER, attribute->place,
			"%s: %s; '?' stands after a pressure whose unit leaves it open whether it is gauge: \"62 "
			"bar?\"",
			attribute->meaning->name, text_quoted(arena, attribute->written));
		return false;
	}
	out->written = attribute->written;
	out->undecided = gauge.si;
	return true;
}

static bool read_number(struct arena *arena, const struct attribute *attribute, double barometric,
	struct problems *problems, struct quantity *out)
{
	const struct vocabulary_type *type = attribute->meaning->type;
	if (is_undecided(attribute)) {
		if (!read_undecided(arena, attribute, barometric, problems, out))
			return false;
	} else if (!quantity_parse(arena, attribute->written, attribute->meaning->name, type->accepted, barometric,
			   attribute->place, problems, out))
		return false;
	if (out->uncertainty < 0)
		out->uncertainty =
			type->uncertainty_is_relative ? fabs(out->si) * type->uncertainty : type->uncertainty;
	return true;
}

struct quantity *stated_value(struct arena *arena, const struct attribute *attribute, const struct stating *stating,
	struct problems *problems)
{
	enum kind kind = attribute->meaning->type->accepted.kinds[0];
	struct quantity *out = arena_alloc(arena, sizeof *out);
	*out = (struct quantity){
		.known = STATED, .kind = kind, .place = attribute->place, .written = attribute->written};
	if (written_is_owed(attribute->written))
		owe(arena, attribute, stating, out);
	else if (kind_is_number(kind) ? !read_number(arena, attribute, stating->barometric, problems, out)
				      : !read_word(attribute, problems, out))
		return NULL;
	out->document = stating->document;
	out->read = arena_alloc(arena, sizeof *out->read);
	return out;
}

const char *stated_document(const struct element *element, const char *attribute)
{
	const char *document = element_attribute(element, attribute);
	return document && !written_is_owed(document) ? document : "";
}

/* ---- where it is put ---- */

bool type_has_families(const struct vocabulary_type *type)
{
	for (size_t i = 0; i < type->choice_count; i++)
		if (type->choices[i].family)
			return true;
	return false;
}

/* The family of a word; of a word that is owed it is owed too. */
static void put_family(struct table *table, const struct item *item, int operating_case,
	const struct vocabulary_attribute *meaning, const struct quantity *quantity)
{
	const struct choice *choice = quantity->word ? vocabulary_choice(meaning->type, quantity->word) : NULL;
	const char *word = choice && !quantity->owed ? choice->family : NULL;
	if (!word && !(quantity->owed && type_has_families(meaning->type)))
		return;
	struct quantity *family = arena_alloc(table_arena(table), sizeof *family);
	*family = *quantity;
	family->word = word;
	table_put(table, item, operating_case, arena_format(table_arena(table), "%s-family", meaning->name), family);
}

void stated_put(struct table *table, const struct item *item, int operating_case,
	const struct vocabulary_attribute *meaning, struct quantity *quantity)
{
	quantity->of_case = meaning->condition && operating_case > 0;
	quantity->of_normal = meaning->condition && operating_case == EVERY_CASE;
	table_put(table, item, operating_case, meaning->name, quantity);
	if (quantity->kind == KIND_WORD)
		put_family(table, item, operating_case, meaning, quantity);
}
