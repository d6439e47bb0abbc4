#include "revamp/write_record.h"

#include <stdio.h>

#include "base/cells.h"
#include "base/text.h"
#include "revamp/figure_course.h"
#include "write/sheet.h"

/* A sweep as text, as a table and as a page; the JSON record is in write_record.c. */

static const char *swept_value(struct arena *arena, const struct course *course, double x)
{
	return arena_format(arena, "%s%s%s", number_show(arena, x), *course->unit ? " " : "", course->unit);
}

static const char *shown(struct arena *arena, const struct quantity *quantity)
{
	if (!quantity || quantity->known == UNKNOWN)
		return "";
	return kind_is_number(quantity->kind)
		? number_show(arena, quantity_in(quantity->si, quantity->kind, kind_unit(quantity->kind)))
		: quantity->word;
}

/* ---- CSV: one row for each value, two columns for each finding that moves ---- */

static const char *with_unit(struct arena *arena, const char *what, enum kind kind)
{
	return *kind_unit(kind) ? arena_format(arena, "%s, %s", what, kind_unit(kind)) : what;
}

bool write_sweep_csv(const void *data, FILE *out)
{
	const struct sweep_report *report = data;
	const struct course *course = &report->course;
	struct arena arena = {0};
	struct text text = text_in(&arena);
	size_t columns = 2 + course->show_count + 2 * course->track_count, at = 0;
	const char **cells = arena_alloc(&arena, columns * sizeof *cells);
	cells[at++] = *course->unit ? arena_format(&arena, "%s, %s", course->what, course->unit) : course->what;
	cells[at++] = "Fault";
	for (size_t s = 0; s < course->show_count; s++)
		cells[at++] =
			with_unit(&arena, arena_format(&arena, "%s.%s", course->shows[s].item, course->shows[s].name),
				course->shows[s].kind);
	for (size_t t = 0; t < course->track_count; t++) {
		const struct track *track = course->tracks[t];
		const char *title = arena_format(&arena, "%s %s", track->rule->id, track->item);
		enum kind kind = track->samples[0].has_value ? track->samples[0].kind : KIND_TEXT;
		cells[at++] = track->samples[0].has_value ? with_unit(&arena, title, kind) : title;
		cells[at++] = arena_format(&arena, "%s verdict", title);
	}
	cells_begin(&text);
	cells_row(&text, cells, columns);
	for (size_t i = 0; i < course->count; i++) {
		at = 0;
		cells[at++] = number_show(&arena, course->grid[i]);
		cells[at++] = course->scan.faults[i] ? course->scan.faults[i] : "";
		for (size_t s = 0; s < course->show_count; s++)
			cells[at++] = shown(&arena, course->shows[s].values[i]);
		for (size_t t = 0; t < course->track_count; t++) {
			const struct sample *sample = &course->tracks[t]->samples[i];
			cells[at++] = sample->has_value
				? number_show(&arena, quantity_in(sample->value, sample->kind, kind_unit(sample->kind)))
				: "";
			cells[at++] = course->scan.faults[i] ? "" : point_verdict_word(sample->verdict);
		}
		cells_row(&text, cells, columns);
	}
	bool whole = fwrite(text.data, 1, text.length, out) == text.length;
	arena_release(&arena);
	return whole;
}

/* ---- the page ---- */

static void add_turn(struct page *page, xmlNode *body, const struct course *course, const struct course_turn *row)
{
	xmlNode *line = html_add(body, "tr", NULL);
	html_set(html_add_text(line, "th", "tag value", swept_value(page->arena, course, row->turn->at)), "scope",
		"row");
	xmlNode *rule = html_add(line, "td", NULL);
	html_add_text(rule, "span", "rule", row->track->rule->id);
	html_say(rule, arena_format(page->arena, " %s", row->track->rule->title));
	html_name(html_add(line, "td", NULL), row->track->item);
	html_add_text(line, "td", "value",
		arena_format(page->arena, "%s → %s", point_verdict_word(row->turn->from),
			point_verdict_word(row->turn->to)));
	page_action(html_add(line, "td", NULL), row->track->action);
	html_add_text(line, "td", NULL, row->turn->limit);
}

static void add_turns(struct page *page, const struct course *course)
{
	static const char *const columns[] = {
		"At", "Rule", "Item", "Verdict below and above", "Action when it departs", "Governing limit", NULL};
	xmlNode *section = page_section(page, "turns", "Where verdicts turn");
	if (!course->turn_count) {
		html_add_text(section, "p", NULL, "No verdict turns in this range.");
		return;
	}
	xmlNode *body = page_rows(section, NULL, "Lowest value first", columns);
	for (size_t i = 0; i < course->turn_count; i++)
		add_turn(page, body, course, &course->turns[i]);
}

static void add_faults(struct page *page, const struct course *course)
{
	for (size_t i = 0; i < course->count; i++)
		if (course->scan.faults[i])
			html_add_text(page->main, "p", "aside",
				arena_format(page->arena, "At %s nothing could be computed: %s",
					swept_value(page->arena, course, course->grid[i]), course->scan.faults[i]));
}

bool write_sweep_html(const void *data, FILE *out)
{
	const struct sweep_report *report = data;
	const struct course *course = &report->course;
	struct sheet sheet;
	sheet_open(&sheet, "Sweep of one value of an amine unit", report->unit.number, report->unit.name,
		(const struct sheet_fact[]){{"Revision", report->unit.revision}, {"Description", report->unit.file},
			{"Varied", course->what}, {NULL, NULL}});
	add_turns(&sheet.page, course);
	xmlNode *section = page_section(&sheet.page, "figure", "Along the sweep");
	figure_course(&sheet.page, section, course);
	add_faults(&sheet.page, course);
	xmlNode *set = page_section(&sheet.page, "set", "What was set");
	html_add_text(set, "p", NULL,
		arena_format(&sheet.arena, "From %s to %s in %zu points.",
			swept_value(&sheet.arena, course, course->grid[0]),
			swept_value(&sheet.arena, course, course->grid[course->count - 1]), course->count));
	xmlNode *list = html_add(set, "ul", NULL);
	for (size_t i = 0; i < course->target_count; i++) {
		xmlNode *line = html_add(list, "li", NULL);
		html_name(line, course->targets[i].item);
		html_say(line,
			arena_format(&sheet.arena, ": %s, in every operating case; all else as stated",
				course->targets[i].name));
	}
	return sheet_close(&sheet, out);
}

/* ---- text ---- */

void write_sweep_text(const struct sweep_report *report, FILE *out)
{
	const struct course *course = &report->course;
	fprintf(out, "%s %s: %s from %s to %s, %zu value%s set, %zu points\n\n", report->unit.number, report->unit.name,
		course->what, swept_value(report->arena, course, course->grid[0]),
		swept_value(report->arena, course, course->grid[course->count - 1]), course->target_count,
		course->target_count == 1 ? "" : "s", course->count);
	for (size_t i = 0; i < course->turn_count; i++) {
		const struct track *track = course->turns[i].track;
		const struct turn *turn = course->turns[i].turn;
		fprintf(out, "%-14s %s -> %s  %s %s: %s%s%s\n", swept_value(report->arena, course, turn->at),
			point_verdict_word(turn->from), point_verdict_word(turn->to), track->rule->id, track->item,
			track->rule->title, *turn->limit ? ", " : "", turn->limit);
	}
	if (!course->turn_count)
		fprintf(out, "No verdict turns in this range.\n");
	for (size_t i = 0; i < course->count; i++)
		if (course->scan.faults[i])
			fprintf(out, "%-14s cannot be computed: %s\n",
				swept_value(report->arena, course, course->grid[i]), course->scan.faults[i]);
}
