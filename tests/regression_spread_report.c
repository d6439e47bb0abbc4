#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "regression_spread.h"

/* What the regression tells of its intervals, and of papers as a random effect. */

enum { HOWS = PAPER_OUT + 1 };
static const double least_gain = 0.002; /* in ln p: less is the last digit */

static const char *gas_name(enum gas gas)
{
	return gas == GAS_H2S ? "H2S" : "CO2";
}

/* ---- intervals ---- */

/* The same rows, by all three ways to leave out and by one factor. */
struct system {
	struct held held[HOWS + 1][VLE_ROWS];
	size_t count;
};

static void open_system(const struct terms *terms, const struct vle_row *rows, size_t count, enum amine amine,
	enum gas gas, struct system *system)
{
	for (int h = 0; h <= HOWS; h++)
		system->count = regression_hold(terms, rows, count, amine, gas,
			h == HOWS ? PAPER_OUT : (enum how_fitted)h, h == HOWS, system->held[h]);
}

/* Of one paper, or of all where `source` is NULL. */
static void report_held(const struct system *system, const char *source, const char *label, FILE *out)
{
	double inside[HOWS + 1] = {0}, score[HOWS + 1] = {0};
	size_t found = 0;

	for (size_t i = 0; i < system->count; i++) {
		if (source && strcmp(system->held[0][i].row->source, source) != 0)
			continue;
		found++;
		for (int h = 0; h <= HOWS; h++) {
			inside[h] += system->held[h][i].inside;
			score[h] += system->held[h][i].score;
		}
	}
	fprintf(out, "  %-50.50s %4zu", label, found);
	for (int h = 0; h <= HOWS; h++)
		fprintf(out, " %6.1f %6.3f", 100 * inside[h] / (double)found, score[h] / (double)found);
	fputs("\n", out);
}

static bool seen_before(const struct system *system, size_t i)
{
	for (size_t q = 0; q < i; q++)
		if (strcmp(system->held[0][q].row->source, system->held[0][i].row->source) == 0)
			return true;
	return false;
}

static void report_system(const struct system *system, enum amine amine, enum gas gas, FILE *out)
{
	struct coverage c = regression_cover(system->held[PAPER_OUT], system->count);
	char label[80];

	fprintf(out, "%s %s: without the paper %.1f %% inside, 95 %% band %.1f-%.1f %% over %zu papers or isotherms\n",
		amine_rows[amine].name, gas_name(gas), 100 * c.inside, 100 * c.low, 100 * c.high, c.groups);
	report_held(system, NULL, "all", out);
	for (size_t i = 0; i < system->count; i++)
		if (!seen_before(system, i)) {
			snprintf(label, sizeof label, "  %.48s", system->held[0][i].row->source);
			report_held(system, system->held[0][i].row->source, label, out);
		}
}

/* Where the correlation took no part in the fit, nor is evidence: the terms reach there from 2 mol/L. */
static void report_correlation(
	const struct vle_row *rows, size_t count, const struct terms *without, enum gas gas, bool mixture, FILE *out)
{
	struct held held[CORRELATION_STATES];
	size_t found = regression_hold_correlation(rows, count, without, gas, mixture, held);
	struct coverage c = regression_cover(held, found);

	fprintf(out, "  %s %-28s %4zu states, %5.1f %% inside\n", gas_name(gas),
		mixture ? "both gases in equal part" : "alone", c.rows, 100 * c.inside);
}

static void report_fit(const struct spread_fit *fit, enum gas gas, FILE *out)
{
	fprintf(out, "%s: e %.3f, g %.3f in ln p, f %.4f mol/mol, k %.3f; of each paper its own e and f, times those\n",
		gas_name(gas), fit->all.error, fit->all.growth, fit->all.absolute, fit->all.factor);
	for (size_t p = 0; p < fit->count; p++)
		fprintf(out, "    %-66.66s %6.2f %6.2f\n", fit->papers[p].source, exp(fit->papers[p].ln_error),
			exp(fit->papers[p].ln_absolute));
}

void regression_spread_report(const struct vle_row *rows, size_t count, const struct terms *terms,
	const struct terms *without_correlation, FILE *out)
{
	static struct system system;
	struct spread_fit fits[GAS_COUNT];
	double sum[GAS_COUNT][2] = {{0}};
	size_t number[GAS_COUNT] = {0};

	fputs("\nIntervals of 90 % (checker/chemistry/spread.h): per cent inside, and the mean interval score of ln p "
	      "(width and 20 "
	      "times\n"
	      "what lies outside; less is better). Without the paper neither the terms nor the spread know of it; `one "
	      "factor`: the "
	      "ninth\n"
	      "decile of what the other papers of the system miss by, in place of the interval.\n",
		out);
	if (!regression_spread_fit(terms, rows, count, fits))
		return;
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		report_fit(&fits[gas], gas, out);
	fprintf(out, "%57s  in sample    without row   without paper one factor\n", "rows");
	for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++)
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
			open_system(terms, rows, count, amine, gas, &system);
			report_system(&system, amine, gas, out);
			for (size_t i = 0; i < system.count; i++) {
				sum[gas][0] += system.held[PAPER_OUT][i].score;
				sum[gas][1] += system.held[HOWS][i].score;
			}
			number[gas] += system.count;
		}
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		fprintf(out, "All %s: score %.3f, by one factor for each system %.3f\n", gas_name(gas),
			sum[gas][0] / (double)number[gas], sum[gas][1] / (double)number[gas]);
	fputs("Posey, Tapperson & Rochelle 1996 for MDEA, where the correlation is in neither fit nor evidence\n", out);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		for (int mixture = 0; mixture < 2; mixture++)
			report_correlation(rows, count, without_correlation, gas, mixture != 0, out);
}

/* ---- papers as a random effect ---- */

/* Of both sets of errors the mean square over window and beyond: does the refit make it less for a paper that is left out? */
static double rms_of(const struct vle_row *rows, size_t count, enum amine amine, enum gas gas)
{
	double sum = 0, number = 0;

	for (int use = ROW_FITTED; use <= ROW_BEYOND; use++) {
		struct errors e = regression_errors(rows, count, amine, gas, (enum row_use)use, NULL, PAPER_OUT);

		if (e.count > 0) {
			sum += e.rms * e.rms * (double)e.count;
			number += (double)e.count;
		}
	}
	return sqrt(sum / number);
}

static void report_effects(const struct vle_row *rows, const struct vle_row *with_papers, size_t count,
	const struct fitted *papers, enum amine amine, enum gas gas, FILE *out)
{
	static const char *const names[] = {"without effects", "with effects"};
	const struct vle_row *which[] = {rows, with_papers};

	fprintf(out, "%s %s: between papers %.3f in ln p\n", amine_rows[amine].name, gas_name(gas),
		papers->between[amine][gas]);
	for (size_t p = 0; p < FITTED_PAPERS && papers->papers[amine][gas][p].source; p++)
		fprintf(out, "    %-66.66s %+6.3f\n", papers->papers[amine][gas][p].source,
			papers->papers[amine][gas][p].offset);
	for (size_t k = 0; k < 2; k++) {
		fprintf(out, "  %-20s", names[k]);
		for (int use = ROW_FITTED; use <= ROW_BEYOND; use++) {
			struct errors e =
				regression_errors(which[k], count, amine, gas, (enum row_use)use, NULL, PAPER_OUT);

			if (e.count > 0)
				fprintf(out, "  %s %6.1f %6.1f, rms of ln ratio %.3f",
					use == ROW_FITTED ? "in the window" : "beyond it", e.median, e.ninth_decile,
					e.rms);
		}
		fputs("\n", out);
	}
	double without = rms_of(rows, count, amine, gas), with = rms_of(with_papers, count, amine, gas);

	fprintf(out, "  all: rms of ln ratio %.3f without effects, %.3f with: %s\n", without, with,
		with < without - least_gain ? "lower" : "not lower");
}

/* ---- the rows of MDEA and CO2 that are in dispute ---- */

enum medium_set { SET_2_MOLAR, SET_4_MOLAR_RICH, SET_4_MOLAR_LEAN, SET_CORRELATION, SETS };

static bool of_set(const struct vle_row *row, int set)
{
	const double rich_from = 0.3;
	bool disputed = row->use == ROW_DISPUTED;

	if (row->amine != AMINE_MDEA || row->use > ROW_DISPUTED || (row->gas == GAS_H2S && set != SET_CORRELATION))
		return false;
	return set == SET_2_MOLAR	  ? !disputed
		: set == SET_4_MOLAR_RICH ? disputed && row->loading >= rich_from
		: set == SET_4_MOLAR_LEAN ? disputed && row->loading < rich_from
					  : !disputed;
}

/* The medium term as each set by itself gives it, with the heats and the priors: what does not belong to the others shows. */
static void report_medium(const struct vle_row *rows, size_t count, FILE *out)
{
	static const char *const names[SETS] = {"2 mol/L", "4 mol/L from 0.3 mol/mol up", "4 mol/L below 0.3 mol/mol",
		"Posey et al. 1996, 0.01 of 2 mol/L and H2S"};
	const double little = 0.01; /* of 18 rows beside 210 states of the correlation */
	static struct vle_row some[VLE_ROWS];
	static struct fitted fitted;

	fputs("\nMDEA and CO2: the medium term by each set of rows alone (at 353.15 K, slope per 100 K). The rows of 4 "
	      "mol/L below "
	      "0.3 mol/mol stand\n"
	      "apart from the three other sets, which agree: they weigh 0.02, those above 0.3.\n",
		out);
	for (int set = 0; set < SETS; set++) {
		size_t found = 0;

		for (size_t r = 0; r < count; r++)
			if (of_set(&rows[r], set)) {
				some[found] = rows[r];
				some[found++].weight = set == SET_CORRELATION && rows[r].gas == GAS_CO2 ? little : 1;
			}
		if (regression_fit(some, found, set == SET_CORRELATION ? FIT_CORRELATION : 0, &fitted))
			fprintf(out, "  %-42s %3zu rows  %7.3f %+7.3f\n", names[set], found,
				fitted.terms.medium[AMINE_MDEA].at_centre, fitted.terms.medium[AMINE_MDEA].slope);
	}
}

void regression_papers_report(const struct vle_row *rows, const struct vle_row *with_papers, size_t count,
	const struct fitted *fitted, const struct fitted *papers, FILE *out)
{
	fputs("Each paper with an offset of its own in ln(computed/measured), a random effect whose deviation is "
	      "estimated with the "
	      "terms.\n"
	      "Errors in per cent, median and 90 %, of rows whose paper is left out of the fit (its own offset is then "
	      "unknown: zero).\n"
	      "Systems of one paper have no such effect. The terms of the engine are those fitted without, unless "
	      "effects make the "
	      "rms lower.\n\n",
		out);
	for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++)
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
			if (!isnan(papers->between[amine][gas]))
				report_effects(rows, with_papers, count, papers, amine, gas, out);
	report_medium(rows, count, out);
	fputs("\nCoefficients without and with effects\n", out);
	for (size_t k = 0; k < fitted->count; k++)
		fprintf(out, "  %-24s %8.4f %8.4f +/- %.3f\n", fitted->coefficients[k].name,
			fitted->coefficients[k].value, papers->coefficients[k].value,
			papers->coefficients[k].standard_error);
}
