#include "revamp/write_compare.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "judge/wording.h"

static const char *value_words(struct arena *arena, const struct finding *finding)
{
	if (!finding)
		return "the rule did not apply";
	if (finding->verdict == VERDICT_NOT_JUDGED || !finding->value || finding->value->known == UNKNOWN)
		return verdict_word(finding->verdict);
	return quantity_show_first(arena, finding->value);
}

/*
 * A difference of temperatures or of gauge pressures is in the unit of differences, any other in that of the value as it is
 * shown: minutes beside minutes.
 */
static const char *difference_words(struct arena *arena, double si, const struct finding *of)
{
	enum kind kind = of->value->kind;
	enum kind shown = kind == KIND_TEMPERATURE ? KIND_TEMPERATURE_DIFFERENCE
		: kind == KIND_PRESSURE		   ? KIND_PRESSURE_DIFFERENCE
						   : kind;
	const char *unit = strrchr(value_words(arena, of), ' ');
	double factor, offset;
	bool known = shown == kind && unit && unit_find(kind, unit + 1, 0, &factor, &offset);
	const char *words = quantity_show_si(arena, fabs(si), shown, known ? unit + 1 : NULL);
	return arena_format(arena, "%s%s", si < 0 ? "-" : "+", words);
}

const char *compare_values(struct arena *arena, const struct change_row *row)
{
	const char *before = value_words(arena, row->before), *after = value_words(arena, row->after);
	bool both = row->before && row->after && row->before->value && row->after->value;
	if (row->after && !both)
		return arena_format(arena, "before: %s; now: %s", before, after);
	return arena_format(arena, "%s → %s", before, row->after ? after : "the rule does not apply");
}

const char *compare_input(struct arena *arena, const struct difference *difference)
{
	const char *before = difference->before ? difference->before : "not stated";
	const char *after = difference->after ? difference->after : "not stated";
	if (!*difference->name)
		return arena_format(arena, "%s %s", difference->item, difference->after ? "is added" : "is removed");
	return arena_format(arena, "%s of %s%s%s: %s → %s", difference->name, difference->item,
		*difference->operating_case ? ", case " : "", difference->operating_case, before, after);
}

/* Parts of less than this share of the largest are in the record only: they would read as causes, and are none. */
static const double SMALLEST_PART = 5e-3;

static bool says_enough(const struct change_row *row, double part)
{
	double largest = row->has_total ? fabs(row->total) : 0;
	for (int g = 0; g < INPUT_GROUPS; g++)
		largest = fmax(largest, row->parts[g].has_value ? fabs(row->parts[g].moved) : 0);
	return fabs(part) > SMALLEST_PART * largest;
}

const char *compare_part(struct arena *arena, const struct change_row *row, enum input_group group)
{
	const struct part *part = &row->parts[group];
	if (!part->tried)
		return "";
	if (part->failed)
		return "cannot be put back by itself";
	bool moved = part->has_value && row->after && says_enough(row, part->moved);
	if (!part->turns && !moved)
		return "";
	const char *without = part->found ? verdict_word(part->verdict) : "the rule does not apply";
	return arena_format(arena, "%s%swithout it%s %s", moved ? difference_words(arena, part->moved, row->after) : "",
		moved ? "; " : "", part->turns ? ":" : " still", without);
}

const char *compare_remainder(struct arena *arena, const struct change_row *row)
{
	const double rounding = 1e-6; /* of the value */
	if (row->together)
		return "only groups together explain it";
	if (!row->has_total || !says_enough(row, row->remainder) ||
		fabs(row->remainder) <= rounding * fabs(row->after->value->si))
		return "";
	return difference_words(arena, row->remainder, row->after);
}

const char *compare_condition(struct arena *arena, const struct condition_change *change)
{
	char *name = arena_copy(arena, change->name);
	for (char *dash = name; (dash = strchr(dash, '-')) != NULL;)
		*dash = ' ';
	return arena_format(arena, "%s %s → %s", name, quantity_show_si(arena, change->before, change->kind, NULL),
		quantity_show_si(arena, change->after, change->kind, NULL));
}

const char *compare_instead(struct arena *arena, const struct change_row *row)
{
	const struct finding *other = row->instead;
	if (!other)
		return "";
	const struct finding *own = row->after && row->after->verdict != VERDICT_NOT_APPLICABLE ? row->after : NULL;
	return arena_format(arena, "%s %s: %s%s%s%s", own ? "before, the value was under" : "the value is now under",
		other->rule->id, verdict_word(other->verdict),
		other->certainty == CERTAINTY_BORDERLINE ? " (borderline)" : "", other->governing ? ", " : "",
		other->governing ? wording_limit(arena, other->governing->limit) : "");
}

const char *compare_resolution(struct arena *arena, const struct comparison *comparison)
{
	static const char *const words[] = {"met now", "the rule no longer applies", "item removed"};
	struct text text = text_in(arena);
	for (int r = 0; r < RESOLUTIONS; r++)
		if (comparison->resolutions[r])
			text_addf(&text, "%s%zu %s", text.length ? ", " : "", comparison->resolutions[r], words[r]);
	return text.data;
}

const char *compare_resolved(const struct comparison *comparison, const struct change_row *row)
{
	static const char *const words[] = {"met now", "the rule no longer applies", "the item is removed"};
	return words[change_resolution(comparison, row)];
}

/* ---- the summary ---- */

static void print_row(struct arena *arena, const struct comparison *comparison, const struct change_row *row, FILE *out)
{
	enum { INPUTS_SHOWN = 4 };
	const struct finding *finding = row->change == CHANGE_RESOLVED ? row->before : row->after;
	fprintf(out, "%-16s  %-9s %s: %s [%s]\n", change_word(row->change), action_word(change_action(row)), row->item,
		finding && finding->message ? finding->message : row->rule->title, row->rule->id);
	fprintf(out, "%28s%s%s%s\n", "", compare_values(arena, row), row->change == CHANGE_RESOLVED ? "; " : "",
		row->change == CHANGE_RESOLVED ? compare_resolved(comparison, row) : "");
	for (size_t i = 0; i < row->input_count && i < INPUTS_SHOWN; i++)
		fprintf(out, "%28s%s\n", "", compare_input(arena, row->inputs[i]));
	if (row->input_count > INPUTS_SHOWN)
		fprintf(out, "%28sand %zu more\n", "", row->input_count - INPUTS_SHOWN);
	for (int g = 0; g < INPUT_GROUPS; g++) {
		const char *part = compare_part(arena, row, (enum input_group)g);
		if (*part)
			fprintf(out, "%28s%s: %s\n", "", group_word((enum input_group)g), part);
	}
	if (*compare_remainder(arena, row))
		fprintf(out, "%28sleft over: %s\n", "", compare_remainder(arena, row));
	if (row->instead)
		fprintf(out, "%28s%s\n", "", compare_instead(arena, row));
}

bool write_compare_text(const struct comparison *comparison, FILE *out)
{
	struct arena arena = {0};
	const struct review *base = comparison->base, *revamp = comparison->revamp;
	fprintf(out, "%s %s: %s against %s, %zu inputs differ\n", revamp->number, revamp->name, revamp->file,
		base->file, comparison->differences->count);
	for (int c = 0; c < CHANGES; c++)
		fprintf(out, "%s %zu%s", change_word((enum change)c), comparison->counts[c],
			c + 1 < CHANGES ? "   " : "\n");
	if (comparison->counts[CHANGE_RESOLVED])
		fprintf(out, "of those resolved: %s\n", compare_resolution(&arena, comparison));
	fputc('\n', out);
	for (size_t i = 0; i < comparison->count; i++)
		print_row(&arena, comparison, &comparison->rows[i], out);
	for (size_t i = 0; i < comparison->kept_count; i++) {
		const struct kept_row *row = &comparison->kept[i];
		if (!row->findings && !*row->crossed)
			continue;
		fprintf(out, "metal kept        %s of %s at new conditions:", row->item->tag, row->material);
		for (size_t k = 0; k < row->change_count; k++)
			fprintf(out, "%s %s", k ? ";" : "", compare_condition(&arena, &row->changes[k]));
		if (*row->crossed)
			fprintf(out, "%s %s", row->change_count ? ";" : "", row->crossed);
		fputc('\n', out);
	}
	fprintf(out, "\nA screening aid: local codes, the editions in force and a licensed engineer decide.\n");
	arena_release(&arena);
	return !ferror(out);
}
