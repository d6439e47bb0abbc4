#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "revamp/write_compare.h"
#include "write/sheet.h"

/* What is open in each of the two. */
static void add_totals(struct page *page, xmlNode *section, const struct comparison *comparison)
{
	static const char *const columns[] = {"Open", "Base", "Revamp", NULL};
	xmlNode *body = page_rows(section, NULL, "Actions open in each, changed or not", columns);
	for (int a = ACTION_RESOLVE; a <= ACTION_STATE; a++) {
		const char *cells[] = {action_word((enum action)a),
			arena_format(page->arena, "%zu", comparison->base->counts[a]),
			arena_format(page->arena, "%zu", comparison->revamp->counts[a])};
		sheet_row(body, cells, COUNT(cells));
	}
}

static void add_counts(struct page *page, const struct comparison *comparison)
{
	static const char *const meanings[] = {"met or silent before, departed from now",
		"further beyond, or of more force", "less far beyond, or of less force",
		"departed from before, met or silent now", "departed from or met before; now it lacks what it needs",
		"departed from before and now alike; not listed"};
	xmlNode *section = page_section(page, "found", "What changed");
	xmlNode *list = html_add(section, "dl", "words changes");
	for (int c = 0; c < CHANGES; c++) {
		html_add_text(list, "dt", NULL,
			arena_format(page->arena, "%zu %s", comparison->counts[c], change_word((enum change)c)));
		html_add_text(list, "dd", NULL,
			c == CHANGE_RESOLVED && comparison->counts[c]
				? arena_format(page->arena, "%s: %s", meanings[c],
					  compare_resolution(page->arena, comparison))
				: meanings[c]);
	}
	add_totals(page, section, comparison);
}

/* The inputs traced, then what each group does by itself. */
static void add_causes(struct page *page, xmlNode *cell, const struct change_row *row)
{
	enum { INPUTS_SHOWN = 6 };
	for (size_t i = 0; i < row->input_count && i < INPUTS_SHOWN; i++)
		html_name(html_add(cell, "span", "line"), compare_input(page->arena, row->inputs[i]));
	if (row->input_count > INPUTS_SHOWN)
		html_add_text(cell, "span", "line aside",
			arena_format(page->arena, "and %zu more, in the record", row->input_count - INPUTS_SHOWN));
	if (!row->input_count)
		html_add_text(cell, "span", "line aside", "no stated input in its working differs");
}

static void add_parts(struct page *page, xmlNode *cell, const struct change_row *row)
{
	for (int g = 0; g < INPUT_GROUPS; g++) {
		const char *part = compare_part(page->arena, row, (enum input_group)g);
		if (!*part)
			continue;
		xmlNode *line = html_add(cell, "span", "line");
		html_add_text(line, row->parts[g].turns ? "b" : "span", NULL, group_word((enum input_group)g));
		html_say(line, arena_format(page->arena, ": %s", part));
	}
	const char *left = compare_remainder(page->arena, row);
	if (*left)
		html_add_text(cell, "span", "line", arena_format(page->arena, "left over: %s", left));
}

static void add_row(struct page *page, xmlNode *body, const struct comparison *comparison, const struct change_row *row)
{
	const struct finding *finding = row->after ? row->after : row->before;
	xmlNode *line = html_add(body, "tr", NULL);
	xmlNode *head = html_add(line, "th", "tag");
	html_set(head, "scope", "row");
	html_name(head, row->item);
	if (strcmp(row->item, row->item_before) != 0)
		html_name(html_add(head, "span", "place under"), arena_format(page->arena, "was %s", row->item_before));
	page_action(html_add(line, "td", NULL), change_action(row));
	xmlNode *said = html_add(line, "td", NULL);
	html_add_text(said, "span", "rule", row->rule->id);
	html_say(said, " ");
	html_name(said, row->change == CHANGE_RESOLVED || !finding->message ? row->rule->title : finding->message);
	if (row->instead)
		html_add_text(said, "span", "second", compare_instead(page->arena, row));
	xmlNode *value = html_add_text(line, "td", NULL, compare_values(page->arena, row));
	if (row->change == CHANGE_RESOLVED)
		html_add_text(value, "span", "second", compare_resolved(comparison, row));
	add_causes(page, html_add(line, "td", NULL), row);
	add_parts(page, html_add(line, "td", NULL), row);
}

static void add_changes(struct page *page, const struct comparison *comparison, enum change change)
{
	static const char *const ids[] = {"new", "worse", "better", "resolved", "unjudged"};
	static const char *const titles[] = {
		"New findings", "Worse than before", "Better than before", "Resolved", "No longer judged"};
	static const char *const columns[] = {
		"Item", "Action", "Finding", "Value", "Inputs that moved it", "Each group's part", NULL};
	if (!comparison->counts[change])
		return;
	xmlNode *section = page_section(page, ids[change], titles[change]);
	xmlNode *body = page_rows(section, "changes",
		"A group's part is what the value moves by when that group alone is put back "
		"to the base, with the "
		"verdict without it; parts under 0.5\u00a0% of the largest are in the record only",
		columns);
	for (size_t i = 0; i < comparison->count; i++)
		if (comparison->rows[i].change == change)
			add_row(page, body, comparison, &comparison->rows[i]);
}

static void add_kept(struct page *page, const struct comparison *comparison)
{
	static const char *const columns[] = {
		"Item", "Metal", "Conditions before and now", "New or worse findings", NULL};
	if (!comparison->kept_count)
		return;
	xmlNode *section = page_section(page, "kept", "Metals kept at new conditions");
	html_add_text(section, "p", NULL,
		"These keep their metal while what it is in has changed: the highest value over the operating "
		"cases, "
		"before and now. Those with new or worse findings come first.");
	xmlNode *body = page_rows(section, NULL, "Kept metals", columns);
	for (int found = 1; found >= 0; found--)
		for (size_t i = 0; i < comparison->kept_count; i++) {
			const struct kept_row *row = &comparison->kept[i];
			if ((row->findings > 0) != (found == 1))
				continue;
			struct text changes = text_in(page->arena);
			for (size_t k = 0; k < row->change_count; k++)
				text_addf(&changes, "%s%s", k ? "; " : "",
					compare_condition(page->arena, &row->changes[k]));
			text_addf(&changes, "%s%s", *row->crossed && row->change_count ? "; " : "", row->crossed);
			const char *cells[] = {row->item->tag, row->material, changes.data,
				row->findings ? arena_format(page->arena, "%zu", row->findings) : "none"};
			sheet_row(body, cells, COUNT(cells));
		}
}

static void add_inputs(struct page *page, const struct comparison *comparison)
{
	static const char *const columns[] = {"Item", "Case", "Value", "Base", "Revamp", NULL};
	xmlNode *section = page_section(page, "inputs", "Every input that differs");
	if (!comparison->differences->count) {
		html_add_text(section, "p", NULL, "None: the two descriptions state the same.");
		return;
	}
	xmlNode *body = page_rows(section, NULL, "By group, in the order of the descriptions", columns);
	for (int g = 0; g < INPUT_GROUPS; g++) {
		if (!comparison->differences->of_group[g])
			continue;
		xmlNode *head =
			html_add_text(html_add(body, "tr", "of-item"), "th", NULL, group_word((enum input_group)g));
		html_set(head, "scope", "rowgroup");
		html_set(head, "colspan", "5");
		if (comparison->faults[g])
			html_say(head,
				arena_format(
					page->arena, " (cannot be put back by itself: %s)", comparison->faults[g]));
		for (size_t i = 0; i < comparison->differences->count; i++) {
			const struct difference *row = &comparison->differences->rows[i];
			const char *cells[] = {row->item, row->operating_case,
				*row->name ? row->name : "the item itself", row->before ? row->before : "not stated",
				row->after ? row->after : "not stated"};
			if (row->group == (enum input_group)g)
				sheet_row(body, cells, COUNT(cells));
		}
	}
}

bool write_compare_html(const void *data, FILE *out)
{
	const struct comparison *comparison = data;
	const struct review *base = comparison->base, *revamp = comparison->revamp;
	struct sheet sheet;
	sheet_open(&sheet, "Comparison of a revamp with its base", revamp->number, revamp->name,
		(const struct sheet_fact[]){{"Revamp", revamp->file}, {"Revision", revamp->revision},
			{"Date", revamp->date}, {"Base", base->file}, {"Revision", base->revision}, {NULL, NULL}});
	add_counts(&sheet.page, comparison);
	for (int c = 0; c < CHANGE_NONE; c++)
		add_changes(&sheet.page, comparison, (enum change)c);
	add_kept(&sheet.page, comparison);
	add_inputs(&sheet.page, comparison);
	return sheet_close(&sheet, out);
}
