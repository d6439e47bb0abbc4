#include "revamp/write_record.h"

#include <math.h>

#include "base/json_text.h"

enum { VERSION = 2, DIGITS = 9 };

struct record_unit record_unit_of(const struct table *table, const char *file)
{
	return (struct record_unit){table_unit_word(table, "number"), table_unit_word(table, "name"),
		table_unit_word(table, "revision"), file};
}

json_t *record_unit(const struct record_unit *unit)
{
	return json_pack("{s:s, s:s, s:s, s:s}", "number", unit->number, "name", unit->name, "revision", unit->revision,
		"file", unit->file);
}

json_t *record_number(double number)
{
	return isfinite(number) ? json_real(number) : json_null();
}

bool record_save(json_t *root, FILE *out)
{
	json_t *cautions = json_array();
	for (size_t i = 0; review_cautions[i]; i++)
		json_array_append_new(cautions, json_string(review_cautions[i]));
	bool whole = root && json_object_set_new(root, "cautions", cautions) == 0;
	whole = whole && json_write(out, root, JSON_INDENT(1) | JSON_REAL_PRECISION(DIGITS));
	json_decref(root);
	return whole;
}

static json_t *turn_rows(const struct track *track, const char *at)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < track->turn_count; i++)
		json_array_append_new(rows,
			json_pack("{s:f, s:s, s:s, s:s}", at, track->turns[i].at, "from",
				point_verdict_word(track->turns[i].from), "to", point_verdict_word(track->turns[i].to),
				"limit", track->turns[i].limit));
	return rows;
}

/* ---- headroom ---- */

static json_t *limit_object(const struct limit_row *row)
{
	json_t *moves = json_array();
	for (size_t i = 0; i < row->move_count; i++)
		json_array_append_new(moves,
			json_pack("{s:s, s:o, s:s?, s:s?}", "move", row->moves[i].what, "factor",
				row->moves[i].reached ? json_real(row->moves[i].factor) : json_null(), "rule",
				row->moves[i].rule, "fault", row->moves[i].fault));
	return json_pack("{s:s, s:s, s:s, s:s, s:s, s:s?, s:b, s:o, s:o, s:b, s:o}", "rule", row->track->rule->id,
		"title", row->track->rule->title, "item", row->track->item, "action", action_word(row->track->action),
		"limit", row->limit, "case", row->operating_case, "passed", (int)row->passed, "factor",
		row->has_factor ? json_real(row->factor) : json_null(), "turns", turn_rows(row->track, "factor"),
		"moves_tried", (int)row->asked, "moves", moves);
}

static json_t *track_rows(const struct track *const *tracks, size_t count)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < count; i++)
		json_array_append_new(rows,
			json_pack("{s:s, s:s, s:s, s:o}", "rule", tracks[i]->rule->id, "title", tracks[i]->rule->title,
				"item", tracks[i]->item, "turns", turn_rows(tracks[i], "factor")));
	return rows;
}

static json_t *driven_rows(const struct headroom *headroom)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < headroom->driven.count; i++) {
		const struct driven *driven = &headroom->driven.rows[i];
		json_array_append_new(rows,
			json_pack("{s:s, s:o, s:s, s:s, s:f, s:i}", "item", driven->item, "case",
				*driven->operating_case ? json_string(driven->operating_case) : json_null(), "name",
				driven->name, "written", driven->written, "exponent", driven->exponent, "line",
				driven->element->place.line));
	}
	return rows;
}

static json_t *fault_rows(const struct scan *scan, const char *at)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < scan->setup->count; i++)
		if (scan->faults[i])
			json_array_append_new(
				rows, json_pack("{s:f, s:s}", at, scan->setup->grid[i], "fault", scan->faults[i]));
	return rows;
}

bool write_headroom_json(const void *data, FILE *out)
{
	const struct headroom_report *report = data;
	const struct headroom *headroom = report->headroom;
	json_t *limits = json_array();
	for (size_t i = 0; i < headroom->limit_count; i++)
		json_array_append_new(limits, limit_object(&headroom->limits[i]));
	return record_save(json_pack("{s:s, s:i, s:o, s:s, s:f, s:f, s:o, s:o, s:o, s:o, s:o, s:o}", "record",
				   "leanrich headroom", "version", VERSION, "unit", record_unit(&report->unit), "of",
				   report->driver, "least", HEADROOM_LEAST, "most", HEADROOM_MOST, "limits", limits,
				   "falling", track_rows(headroom->opposite, headroom->opposite_count), "balances",
				   track_rows(headroom->balances, headroom->balance_count), "none",
				   track_rows(headroom->free, headroom->free_count), "multiplied",
				   driven_rows(headroom), "not_computed", fault_rows(&headroom->scan, "factor")),
		out);
}

/* ---- sweep ---- */

static json_t *sample_value(const struct sample *sample)
{
	return sample->has_value ? record_number(quantity_in(sample->value, sample->kind, kind_unit(sample->kind)))
				 : json_null();
}

static json_t *finding_object(const struct course *course, const struct track *track)
{
	json_t *values = json_array(), *verdicts = json_array();
	const struct sample *known = NULL;
	for (size_t i = 0; i < course->count; i++) {
		const struct sample *sample = &track->samples[i];
		known = !known && sample->has_value ? sample : known;
		json_array_append_new(values, course->scan.faults[i] ? json_null() : sample_value(sample));
		json_array_append_new(verdicts,
			course->scan.faults[i] ? json_null() : json_string(point_verdict_word(sample->verdict)));
	}
	return json_pack("{s:s, s:s, s:s, s:s, s:s, s:o, s:o, s:o, s:o}", "rule", track->rule->id, "title",
		track->rule->title, "item", track->item, "action", action_word(track->action), "limit", track->limit,
		"unit", known ? json_string(kind_unit(known->kind)) : json_null(), "values", values, "verdicts",
		verdicts, "turns", turn_rows(track, "at"));
}

static json_t *show_object(const struct course *course, const struct course_show *show)
{
	json_t *values = json_array();
	bool any = false;
	for (size_t i = 0; i < course->count; i++) {
		const struct quantity *value = show->values[i];
		bool known = value && value->known != UNKNOWN;
		bool number = known && kind_is_number(value->kind);
		any = any || number;
		json_array_append_new(values,
			number		? record_number(quantity_in(value->si, value->kind, kind_unit(value->kind)))
				: known ? json_string(value->word)
					: json_null());
	}
	return json_pack("{s:s, s:s, s:o, s:o}", "item", show->item, "name", show->name, "unit",
		any ? json_string(kind_unit(show->kind)) : json_null(), "values", values);
}

bool write_sweep_json(const void *data, FILE *out)
{
	const struct sweep_report *report = data;
	const struct course *course = &report->course;
	json_t *points = json_array(), *set = json_array(), *findings = json_array(), *shows = json_array();
	for (size_t i = 0; i < course->count; i++)
		json_array_append_new(points, json_real(course->grid[i]));
	for (size_t i = 0; i < course->target_count; i++)
		json_array_append_new(set,
			json_pack("{s:s, s:s, s:i}", "item", course->targets[i].item, "name", course->targets[i].name,
				"line", course->targets[i].element->place.line));
	for (size_t t = 0; t < course->track_count; t++)
		json_array_append_new(findings, finding_object(course, course->tracks[t]));
	for (size_t s = 0; s < course->show_count; s++)
		json_array_append_new(shows, show_object(course, &course->shows[s]));
	return record_save(json_pack("{s:s, s:i, s:o, s:s, s:s, s:o, s:o, s:o, s:o, s:o}", "record", "leanrich sweep",
				   "version", VERSION, "unit", record_unit(&report->unit), "vary", course->what, "in",
				   course->unit, "set", set, "points", points, "findings", findings, "shown", shows,
				   "not_computed", fault_rows(&course->scan, "at")),
		out);
}
