#include "revamp/write_cases.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"

static const char *si(struct arena *arena, double value, enum kind kind)
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
		return arena_format(arena, "each of %d stages goes %.3g (H2S, %s) and %.3g (CO2, %s) of the way to equilibrium",
			TOWER_STAGES, unit->efficiency[GAS_H2S], by[unit->reached[GAS_H2S]], unit->efficiency[GAS_CO2],
			by[unit->reached[GAS_CO2]]);
	case CIRCUIT_EXCHANGER:
	case CIRCUIT_COOLER:
		return arena_format(arena, "U A%s %.4g kW/K", unit->sort == CIRCUIT_EXCHANGER ? " F" : "",
			unit->conductance / 1e3);
	case CIRCUIT_REGENERATOR:
		return arena_format(arena,
			"%d equilibrium stages do with %.3g of its duty what the package states (lean %.4g at the whole duty)",
			unit->column.stages, unit->duty_share, unit->uncalibrated);
	default:
		return "";
	}
}

bool cases_is_shown(const struct solved_case *row, const struct solved_value *value)
{
	const double kelvin = 0.05, share = 1e-3;
	if (row && row->stated)
		return isfinite(value->asserted) ||
			(item_is(value->of, "stream") && strcmp(value->name, "temperature") != 0);
	if (!item_is_any(value->of, "stream gas regenerator cooler condenser reboiler"))
		return false;
	double apart = fabs(value->value - value->stated);
	return !(apart < (value->kind == KIND_TEMPERATURE ? kelvin : share * fabs(value->stated)));
}

/* ---- the base ---- */

static void print_base(const struct cases_report *report, FILE *out)
{
	const struct cases *cases = report->cases;
	fprintf(out, "\nBase: case %s, solved beside what the package states\n", cases->base);
	for (size_t i = 0; i < cases->circuit.count; i++) {
		const char *words = cases_equipment(report->arena, &cases->circuit.units[i]);
		if (*words)
			fprintf(out, "  %s: %s\n", cases->circuit.units[i].item->tag, words);
	}
	for (size_t i = 0; i < cases->value_count; i++) {
		const struct solved_value *value = &cases->values[i];
		if (item_is_any(value->of, "stream gas regenerator"))
			fprintf(out, "  %-16s %-12s stated %s, solved %s\n", value->of->tag, value->name,
				si(report->arena, value->stated, value->kind), si(report->arena, value->base, value->kind));
	}
	for (size_t i = 0; i < cases->circuit.note_count; i++)
		fprintf(out, "  Note: %s\n", cases->circuit.notes[i]);
}

/* ---- a case ---- */

static void print_value(const struct cases_report *report, const struct solved_case *row,
	const struct solved_value *value, FILE *out)
{
	const char *solved = si(report->arena, value->value, value->kind);
	if (row->stated)
		fprintf(out, "  %-16s %-12s %s%s, solved %s\n", value->of->tag, value->name,
			isfinite(value->asserted) ? "stated " : "",
			isfinite(value->asserted) ? si(report->arena, value->asserted, value->kind)
						  : "not stated in this case",
			solved);
	else
		fprintf(out, "  %-16s %-12s %s -> %s\n", value->of->tag, value->name,
			si(report->arena, value->stated, value->kind), solved);
}

static void print_turn(const struct case_turn *turn, FILE *out)
{
	const char *action = action_word(turn->action);
	bool departs = turn->to == VERDICT_DEPARTS || turn->to == VERDICT_ACCEPTED;
	fprintf(out, "  %s -> %s%s%s: %s %s", verdict_word(turn->from), verdict_word(turn->to), departs ? ", " : "",
		departs ? action : "", turn->rule->id, turn->item);
	if (*turn->before || *turn->after)
		fprintf(out, ", %s -> %s", *turn->before ? turn->before : "not known", *turn->after ? turn->after : "not known");
	if (*turn->limit)
		fprintf(out, " (%s)", turn->limit);
	if (turn->already)
		fprintf(out, "; departs already in case %s of the package", turn->already);
	fprintf(out, "\n      %s\n", *turn->message ? turn->message : turn->rule->title);
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

static void print_case(const struct cases_report *report, const struct solved_case *row, FILE *out)
{
	fprintf(out, "\n%s (%s)\n  %s\n", row->title, row->id, row->what);
	if (row->why) {
		fprintf(out, "  Not solved: %s\n", row->why);
		return;
	}
	print_held(report, row, out);
	for (size_t i = 0; i < row->value_count; i++)
		if (cases_is_shown(row, &row->values[i]))
			print_value(report, row, &row->values[i], out);
	if (row->stated)
		return;
	if (!row->turn_count)
		fprintf(out, "  No verdict turns.\n");
	for (size_t i = 0; i < row->turn_count; i++)
		print_turn(&row->turns[i], out);
}

void write_cases_text(const struct cases_report *report, FILE *out)
{
	const struct cases *cases = report->cases;
	fprintf(out, "%s %s: operating cases solved by the program, and the verdicts that turn in them\n", report->unit.number,
		report->unit.name);
	if (cases->fault) {
		fprintf(out, "\nNothing is solved: %s\n", cases->fault);
	} else {
		print_base(report, out);
		for (size_t i = 0; i < cases->count; i++)
			print_case(report, &cases->rows[i], out);
	}
	if (cases->left_out_count)
		fprintf(out, "\nNot made\n");
	for (size_t i = 0; i < cases->left_out_count; i++)
		fprintf(out, "  %s\n", cases->left_out[i]);
	fprintf(out,
		"\nEvery value of a solved case is the program's, screening: the equipment does in it what it was found to do in "
		"the base.\n");
	for (size_t i = 0; review_cautions[i]; i++)
		fprintf(out, "%s\n", review_cautions[i]);
}
