#include "revamp/write_cases.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"

const char *cases_number(struct arena *arena, double value, enum kind kind)
{
	return isnan(value) ? "not stated" : quantity_show_si(arena, value, kind, NULL);
}

const char *cases_equipment(struct arena *arena, const struct circuit_unit *unit)
{
	static const char *const by[] = {"assumed, or the end of its range", "from the package"};
	if (unit->held)
		return arena_format(arena, "held as stated: %s", unit->held);
	switch (unit->sort) {
	case CIRCUIT_ABSORBER:
		return arena_format(arena,
			"each of %d stages goes %.3g (H2S, %s) and %.3g (CO2, %s) of the way to equilibrium",
			TOWER_STAGES, unit->efficiency[GAS_H2S], by[unit->reached[GAS_H2S]], unit->efficiency[GAS_CO2],
			by[unit->reached[GAS_CO2]]);
	case CIRCUIT_EXCHANGER:
	case CIRCUIT_COOLER:
		return arena_format(
			arena, "U A%s %.4g kW/K", unit->sort == CIRCUIT_EXCHANGER ? " F" : "", unit->conductance / 1e3);
	case CIRCUIT_REGENERATOR:
		return arena_format(arena,
			"does what %d equilibrium stages do%s%s; the %d of its trays would reach a lean loading of "
			"%.3g",
			unit->column.stages,
			unit->duty_share < 1 || unit->duty_share > 1
				? arena_format(arena, " with %.3g of its duty", unit->duty_share)
				: " at its duty",
			isnan(unit->split[GAS_H2S])	      ? ", H2S of the lean held as stated"
				: isnan(unit->split[GAS_CO2]) ? ", CO2 of the lean held as stated"
							      : "",
			unit->stages_of_trays, unit->uncalibrated);
	default:
		return "";
	}
}

bool cases_is_shown(const struct solved_case *row, const struct solved_value *value)
{
	const double kelvin = 0.05, share = 1e-3, few = 0.03;
	if (!row)
		return item_is_any(value->of, "stream gas regenerator") &&
			(isnan(value->stated) || fabs(value->stated - value->base) > share * fabs(value->stated));
	if (row->stated)
		return isfinite(value->asserted) ||
			(item_is(value->of, "stream") && strcmp(value->name, "temperature") != 0 &&
				fabs(value->value - value->stated) > few * fabs(value->stated));
	if (!item_is_any(value->of, "stream gas regenerator exchanger cooler condenser reboiler"))
		return false;
	double apart = fabs(value->value - value->stated);
	return !(apart < (value->kind == KIND_TEMPERATURE ? kelvin : share * fabs(value->stated)));
}

/* ---- values ---- */

static const char *value_words(struct arena *arena, const struct solved_case *row, const struct solved_value *value)
{
	const char *solved = cases_number(arena, value->value, value->kind);
	if (!row)
		return arena_format(arena, "%s %s, solved %s", value->name,
			cases_number(arena, value->stated, value->kind), cases_number(arena, value->base, value->kind));
	if (row->stated && isnan(value->asserted))
		return arena_format(arena, "%s solved %s, not stated here (base %s)", value->name, solved,
			cases_number(arena, value->stated, value->kind));
	return arena_format(arena, "%s %s%s%s", value->name,
		cases_number(arena, row->stated ? value->asserted : value->stated, value->kind),
		row->stated ? ", solved " : " to ", solved);
}

/* One line for each item. */
static void print_values(const struct cases_report *report, const struct solved_case *row,
	const struct solved_value *values, size_t count, FILE *out)
{
	const struct item *last = NULL;
	for (size_t i = 0; i < count; i++) {
		if (!cases_is_shown(row, &values[i]))
			continue;
		if (values[i].of == last)
			fputs("; ", out);
		else
			fprintf(out, "%s  %s: ", last ? "\n" : "", values[i].of->tag);
		fputs(value_words(report->arena, row, &values[i]), out);
		last = values[i].of;
	}
	if (last)
		fputc('\n', out);
}

/* ---- the base ---- */

static void print_notes(const struct cases *cases, FILE *out)
{
	for (size_t i = 0; i < cases->circuit.note_count; i++)
		fprintf(out, "  Note: %s\n", cases->circuit.notes[i]);
}

static void print_base(const struct cases_report *report, FILE *out)
{
	const struct cases *cases = report->cases;
	fprintf(out, "\nBase: case %s, solved beside what the package states\n", cases->base);
	for (size_t i = 0; i < cases->circuit.count; i++) {
		const char *words = cases_equipment(report->arena, &cases->circuit.units[i]);
		if (*words)
			fprintf(out, "  %s: %s\n", cases->circuit.units[i].item->tag, words);
	}
	print_values(report, NULL, cases->values, cases->value_count, out);
	print_notes(cases, out);
}

/* ---- what turns ---- */

static void print_turn(const struct case_turn *turn, FILE *out)
{
	const char *action = action_word(turn->action);
	bool departs = turn->to == VERDICT_DEPARTS || turn->to == VERDICT_ACCEPTED;
	fprintf(out, "  %s -> %s%s%s: %s %s", verdict_word(turn->from), verdict_word(turn->to), departs ? ", " : "",
		departs ? action : "", turn->rule->id, turn->item);
	if (*turn->before || *turn->after)
		fprintf(out, ", %s -> %s", *turn->before ? turn->before : "not known",
			*turn->after ? turn->after : "not known");
	if (*turn->limit)
		fprintf(out, " (%s)", turn->limit);
	if (turn->already)
		fprintf(out, "; departs already in case %s of the package", turn->already);
	if (*turn->moved)
		fprintf(out, "; %s", turn->moved);
	if (*turn->base)
		fprintf(out, "; %s", turn->base);
	fprintf(out, "\n      %s\n", *turn->message ? turn->message : turn->rule->title);
}

/* Into a departure, or out of one. */
bool cases_is_told(const struct case_turn *turn)
{
	return turn->to == VERDICT_DEPARTS || turn->to == VERDICT_ACCEPTED || turn->from == VERDICT_DEPARTS ||
		turn->from == VERDICT_ACCEPTED;
}

static void print_open(const struct solved_case *row, FILE *out)
{
	bool any = false;
	for (size_t i = 0; i < row->turn_count; i++) {
		const struct case_turn *turn = &row->turns[i];
		if (cases_is_told(turn))
			continue;
		fprintf(out, "%s %s %s (%s)", any ? "," : "  Else:", turn->rule->id, turn->item,
			verdict_word(turn->to));
		any = true;
	}
	if (any)
		fputc('\n', out);
}

static void print_held(const struct cases_report *report, const struct solved_case *row, FILE *out)
{
	const struct circuit *base = &report->cases->circuit;
	for (size_t i = 0; i < row->circuit.count; i++) {
		const struct circuit_unit *unit = &row->circuit.units[i];
		bool new = i >= base->count || !base->units[i].held;
		if (unit->held && new)
			fprintf(out, "  %s: held as stated: %s\n", unit->item->tag, unit->held);
	}
}

const char *cases_off(struct arena *arena, const struct off_specification *off)
{
	return arena_format(arena, "Off specification: %s of %s %s, at most %s; base %s", off->name, off->gas->tag,
		cases_number(arena, off->value, KIND_MOLE_FRACTION),
		cases_number(arena, off->limit, KIND_MOLE_FRACTION),
		cases_number(arena, off->before, KIND_MOLE_FRACTION));
}

static void print_case(const struct cases_report *report, const struct solved_case *row, FILE *out)
{
	fprintf(out, "\n%s (%s)\n  %s\n", row->title, row->id, row->what);
	if (row->why) {
		fprintf(out, "  Not solved: %s\n", row->why);
		return;
	}
	print_held(report, row, out);
	print_values(report, row, row->values, row->value_count, out);
	for (size_t i = 0; i < row->off_count; i++)
		fprintf(out, "  %s\n", cases_off(report->arena, &row->off[i]));
	if (row->stated)
		return;
	if (!row->turn_count)
		fprintf(out, "  No verdict turns.\n");
	for (size_t i = 0; i < row->turn_count; i++)
		if (cases_is_told(&row->turns[i]))
			print_turn(&row->turns[i], out);
	print_open(row, out);
}

static bool is_departure(enum verdict verdict)
{
	return verdict == VERDICT_DEPARTS || verdict == VERDICT_ACCEPTED;
}

size_t cases_departures(const struct solved_case *row, bool into)
{
	size_t count = 0;
	for (size_t i = 0; i < row->turn_count; i++)
		count += is_departure(into ? row->turns[i].to : row->turns[i].from);
	return count;
}

/* How many verdicts turn in each case, before all else. */
static void print_summary(const struct cases *cases, FILE *out)
{
	fputc('\n', out);
	for (size_t i = 0; i < cases->count; i++) {
		const struct solved_case *row = &cases->rows[i];
		if (row->stated)
			continue;
		if (row->why)
			fprintf(out, "%-34s not solved\n", row->title);
		else
			fprintf(out, "%-34s %zu depart that did not, %zu no longer%s\n", row->title,
				cases_departures(row, true), cases_departures(row, false),
				row->off_count ? "; off specification" : "");
	}
}

void write_cases_text(const struct cases_report *report, FILE *out)
{
	const struct cases *cases = report->cases;
	fprintf(out, "%s %s: operating cases solved by the program, and the verdicts that turn in them\n",
		report->unit.number, report->unit.name);
	if (cases->fault) {
		fprintf(out, "\nNothing is solved: %s\n", cases->fault);
		print_notes(cases, out);
	} else {
		print_summary(cases, out);
		print_base(report, out);
		for (size_t i = 0; i < cases->count; i++)
			print_case(report, &cases->rows[i], out);
	}
	if (cases->left_out_count)
		fprintf(out, "\nNot made\n");
	for (size_t i = 0; i < cases->left_out_count; i++)
		fprintf(out, "  %s\n", cases->left_out[i]);
	fprintf(out,
		"\nEvery value of a solved case is the program's, screening: the equipment does in it what it was "
		"found to do in "
		"the base.\n");
	for (size_t i = 0; review_cautions[i]; i++)
		fprintf(out, "%s\n", review_cautions[i]);
}
