#include "revamp/write_record.h"

#include <stdio.h>

#include "base/count.h"
#include "base/text.h"
#include "write/sheet.h"

/* How far the flow can grow, as text and as a page; the JSON record is in write_record.c. */

static const char *factor_words(struct arena *arena, double factor)
{
	return arena_format(arena, "%.4f", factor);
}

static const char *limit_factor(struct arena *arena, const struct limit_row *row)
{
	return row->has_factor ? factor_words(arena, row->factor) : arena_format(arena, "below %g", HEADROOM_LEAST);
}

static const char *move_words(struct arena *arena, const struct limit_row *row, const struct move *move)
{
	const double no_gain = 1.0001; /* times the factor: below it the move moves nothing */
	if (move->fault)
		return arena_format(arena, "%s: cannot be computed: %s", move->what, move->fault);
	if (!move->reached)
		return arena_format(arena, "%s: none up to %g", move->what, HEADROOM_MOST);
	bool gains = !row->has_factor || move->factor > no_gain * row->factor;
	return arena_format(arena, "%s: %s%s (%s)", move->what, gains ? "" : "no gain, ",
		move->factor > HEADROOM_LEAST ? factor_words(arena, move->factor)
					      : arena_format(arena, "below %g", HEADROOM_LEAST),
		move->rule);
}

/* "at most 1.5 m/s (4.921 ft/s), in case turndown" */
static const char *limit_words(struct arena *arena, const struct limit_row *row)
{
	return arena_format(arena, "%s%s%s%s", row->limit, row->operating_case && *row->limit ? ", " : "",
		row->operating_case ? "in case " : "", row->operating_case ? row->operating_case : "");
}

/* The turns of a track beyond the first into a departure: where it is met again, or can no longer be judged. */
static const char *other_turns(struct arena *arena, const struct track *track)
{
	struct text text = text_in(arena);
	bool first = true;
	for (size_t i = 0; i < track->turn_count; i++) {
		const struct turn *turn = &track->turns[i];
		if (turn->to == POINT_DEPARTS && first) {
			first = false;
			continue;
		}
		text_addf(&text, "%s%s from %.4f on", text.length ? "; " : "", point_verdict_word(turn->to), turn->at);
	}
	return text.data;
}

/* ---- text ---- */

static void print_limit(const struct headroom_report *report, const struct limit_row *row, FILE *out)
{
	const char *turns = other_turns(report->arena, row->track);
	fprintf(out, "%-9s  %s %s%s: %s; %s%s%s\n", limit_factor(report->arena, row), row->track->rule->id,
		action_word(row->track->action), row->passed ? ", passed already" : "", row->track->item,
		row->track->rule->title, *row->limit || row->operating_case ? ", " : "",
		limit_words(report->arena, row));
	if (*turns)
		fprintf(out, "           %s\n", turns);
	for (size_t i = 0; i < row->move_count; i++)
		fprintf(out, "           %s\n", move_words(report->arena, row, &row->moves[i]));
}

static void print_tracks(const char *title, const struct track *const *tracks, size_t count, FILE *out)
{
	if (count)
		fprintf(out, "\n%s:", title);
	for (size_t i = 0; i < count; i++)
		fprintf(out, "%s %s %s", i ? "," : "", tracks[i]->rule->id, tracks[i]->item);
	if (count)
		fputc('\n', out);
}

void write_headroom_text(const struct headroom_report *report, FILE *out)
{
	const struct headroom *headroom = report->headroom;
	fprintf(out,
		"%s %s: factor on %s at which each limit is first reached, %zu values multiplied, %zu computations\n\n",
		report->unit.number, report->unit.name, report->driver, headroom->driven.count,
		headroom->scan.evaluations);
	for (size_t i = 0; i < headroom->limit_count; i++)
		print_limit(report, &headroom->limits[i], out);
	if (!headroom->limit_count)
		fprintf(out, "No limit is reached between %g and %g.\n", HEADROOM_LEAST, HEADROOM_MOST);
	print_tracks("What the package states no longer balances, since only the flow is multiplied",
		headroom->balances, headroom->balance_count, out);
	print_tracks("Departed from only as the flow falls", headroom->opposite, headroom->opposite_count, out);
	print_tracks(arena_format(report->arena, "Driven by the flow, not reached between %g and %g", HEADROOM_LEAST,
			     HEADROOM_MOST),
		headroom->free, headroom->free_count, out);
	fprintf(out,
		"\nLoadings, temperatures and compositions are held as stated. A screening aid: a licensed engineer "
		"decides.\n");
}

/* ---- the page ---- */

static void add_limits(struct page *page, const struct headroom_report *report)
{
	static const char *const columns[] = {"Factor", "Limit reached", "Item", "Action then", "Governing limit",
		"What moves it; the first limit on the same quantity then", NULL};
	xmlNode *section = page_section(page, "limits", "What stops first, and what next");
	if (!report->headroom->limit_count) {
		html_add_text(section, "p", NULL, "No limit is reached within the range.");
		return;
	}
	xmlNode *body = page_rows(section, NULL,
		"In the order in which limits are reached; below 1 is what is passed "
		"today. What moves them is asked for the first only",
		columns);
	for (size_t i = 0; i < report->headroom->limit_count; i++) {
		const struct limit_row *row = &report->headroom->limits[i];
		xmlNode *line = html_add(body, "tr", NULL);
		xmlNode *head = html_add(line, "th", "tag");
		html_set(head, "scope", "row");
		html_say(head, limit_factor(page->arena, row));
		if (row->passed)
			html_add_text(head, "span", "place under", "passed already");
		xmlNode *rule = html_add(line, "td", NULL);
		html_add_text(rule, "span", "rule", row->track->rule->id);
		html_say(rule, arena_format(page->arena, " %s", row->track->rule->title));
		const char *turns = other_turns(page->arena, row->track);
		if (*turns)
			html_add_text(rule, "span", "second", turns);
		html_name(html_add(line, "td", NULL), row->track->item);
		page_action(html_add(line, "td", NULL), row->track->action);
		html_add_text(line, "td", NULL, limit_words(page->arena, row));
		xmlNode *moves = html_add(line, "td", NULL);
		if (!row->move_count)
			html_add_text(moves, "span", "aside", row->asked ? "none known" : "not asked");
		for (size_t k = 0; k < row->move_count; k++)
			html_add_text(moves, "span", "line", move_words(page->arena, row, &row->moves[k]));
	}
}

static void add_tracks(struct page *page, const char *id, const char *title, const char *words,
	const struct track *const *tracks, size_t count)
{
	if (!count)
		return;
	xmlNode *section = page_section(page, id, title);
	html_add_text(section, "p", NULL, words);
	xmlNode *list = html_add(section, "ul", NULL);
	for (size_t i = 0; i < count; i++) {
		xmlNode *line = html_add(list, "li", NULL);
		html_add_text(line, "span", "rule", tracks[i]->rule->id);
		html_say(line, " ");
		html_name(line, tracks[i]->item);
		html_say(line, arena_format(page->arena, ": %s. ", tracks[i]->rule->title));
		for (size_t k = 0; k < tracks[i]->turn_count; k++)
			html_say(line,
				arena_format(page->arena, "%s from %.4f on. ",
					point_verdict_word(tracks[i]->turns[k].to), tracks[i]->turns[k].at));
	}
}

static void add_driven(struct page *page, const struct headroom_report *report)
{
	static const char *const columns[] = {
		"Item", "Case", "Value", "As written", "Goes with the factor to the power", NULL};
	xmlNode *section = page_section(page, "multiplied", "What was multiplied");
	html_add_text(section, "p", NULL,
		"Each of these values was multiplied where it is stated, and everything computed anew. "
		"Loadings, temperatures, compositions and sizes were held as stated.");
	xmlNode *body = page_rows(section, NULL, "Values that the flow drives", columns);
	for (size_t i = 0; i < report->headroom->driven.count; i++) {
		const struct driven *row = &report->headroom->driven.rows[i];
		const char *cells[] = {row->item, row->operating_case, row->name, row->written,
			arena_format(page->arena, "%g", row->exponent)};
		sheet_row(body, cells, COUNT(cells));
	}
}

bool write_headroom_html(const void *data, FILE *out)
{
	const struct headroom_report *report = data;
	const struct headroom *headroom = report->headroom;
	struct sheet sheet;
	const struct sheet_fact facts[] = {{"Revision", report->unit.revision}, {"Description", report->unit.file},
		{"Factor on", report->driver}, {NULL, NULL}};
	sheet_open(&sheet, "Headroom of an amine unit", report->unit.number, report->unit.name, facts);
	add_limits(&sheet.page, report);
	add_tracks(&sheet.page, "falling", "Departed from as the flow falls",
		"These limits are met at larger flows and passed at smaller ones.", headroom->opposite,
		headroom->opposite_count);
	add_tracks(&sheet.page, "balances", "What no longer balances",
		"Duties, gas or circulation that the package states no longer agree once the others are multiplied. "
		"That is of the "
		"question asked, not of the plant: restate them for the larger flow, or ask for the throughput.",
		headroom->balances, headroom->balance_count);
	add_tracks(&sheet.page, "none", "Not reached",
		arena_format(&sheet.arena, "Driven by the flow, and none of these limits is reached between %g and %g.",
			HEADROOM_LEAST, HEADROOM_MOST),
		headroom->free, headroom->free_count);
	add_driven(&sheet.page, report);
	return sheet_close(&sheet, out);
}
