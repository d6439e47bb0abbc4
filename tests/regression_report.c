#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/phase.h"
#include "regression.h"

/* What the regression writes: the table of the engine and the report of its errors. */

static const char *gas_name(enum gas gas)
{
	return gas == GAS_H2S ? "H2S" : "CO2";
}

static const char *role(enum species species)
{
	static const char *const codes[] = {
#define SPECIES(code, shown, charge) #code,
#include "chemistry/species.def"
#undef SPECIES
	};

	return codes[species];
}

void regression_write_terms(const struct terms *terms, FILE *out)
{
	fputs("/*\n"
	      " * The engine's own fitted terms. Written by the regression (`make regress`); not to be edited by "
	      "hand.\n"
	      " * PAIR(amine, i, j, kg/mol at 353.15 K, slope per 100 K, bend per 100 K squared, saturation in mol/kg "
	      "or "
	      "0)\n"
	      " * MEDIUM(amine, kg/mol at 353.15 K, slope per 100 K, reach in mol/kg)\n"
	      " * CARBAMATE(amine, offset of ln Kc at 353.15 K, slope in 1000/T)\n"
	      " */\n",
		out);
	for (size_t k = 0; k < terms->count; k++) {
		const struct pair_term *pair = &terms->pairs[k];

		fprintf(out, "PAIR(%s, %s, %s, %.4f, %.4f, %.4f, %g)\n", amine_rows[pair->amine].name, role(pair->i),
			role(pair->j), pair->at_centre, pair->slope, pair->bend, pair->saturation);
	}
	for (size_t a = 0; a < AMINE_COUNT; a++)
		if (terms->medium[a].reach > 0)
			fprintf(out, "MEDIUM(%s, %.4f, %.4f, %g)\n", amine_rows[a].name, terms->medium[a].at_centre,
				terms->medium[a].slope, terms->medium[a].reach);
	for (size_t a = 0; a < AMINE_COUNT; a++)
		if (amine_rows[a].carbamate && amine_rows[a].validated)
			fprintf(out, "CARBAMATE(%s, %.4f, %.4f)\n", amine_rows[a].name, terms->carbamate[a].offset,
				terms->carbamate[a].slope);
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return x < y ? -1 : x > y;
}

static double per_cent(double ln_ratio)
{
	return 100 * (exp(ln_ratio) - 1);
}

static struct errors summarise(double *misses, size_t count)
{
	struct errors errors = {count, (double)NAN, (double)NAN, (double)NAN, (double)NAN};
	double sum = 0;

	if (count == 0)
		return errors;
	for (size_t i = 0; i < count; i++)
		sum += misses[i] * misses[i];
	qsort(misses, count, sizeof *misses, by_size);
	errors.median = per_cent((misses[(count - 1) / 2] + misses[count / 2]) / 2);
	errors.ninth_decile = per_cent(misses[(9 * count + 9) / 10 - 1]);
	errors.worst = per_cent(misses[count - 1]);
	errors.rms = sqrt(sum / (double)count);
	return errors;
}

static double miss_of(const struct vle_row *row, enum how_fitted how)
{
	return fabs(how == IN_SAMPLE ? row->in_sample : how == ROW_OUT ? row->row_out : row->paper_out);
}

struct errors regression_errors(const struct vle_row *rows, size_t count, enum amine amine, enum gas gas,
	enum row_use use, const char *source, enum how_fitted how)
{
	double misses[VLE_ROWS] = {0};
	size_t found = 0;

	for (size_t r = 0; r < count; r++)
		if (rows[r].amine == amine && rows[r].gas == gas && rows[r].use == use &&
			(source == NULL || strcmp(source, rows[r].source) == 0) && !isnan(miss_of(&rows[r], how)))
			misses[found++] = miss_of(&rows[r], how);
	return summarise(misses, found);
}

struct comparison correlation_compare(const struct terms *terms, enum gas gas, bool mixture)
{
	static const double strength[] = {0.35, 0.4, 0.45, 0.5}, celsius[] = {40, 60, 80, 100, 120};
	static const double total[] = {0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6};
	struct comparison result = {0, 0, 0};
	double sum = 0, square = 0;

	for (size_t w = 0; w < 4; w++)
		for (size_t t = 0; t < 5; t++)
			for (size_t l = 0; l < 9; l++) {
				double loading[GAS_COUNT] = {0}, miss;

				loading[gas] = mixture ? total[l] / 2 : total[l];
				if (mixture)
					loading[1 - gas] = total[l] / 2;
				miss = correlation_miss(terms, strength[w], celsius[t] + ZERO_CELSIUS, loading, gas);
				sum += exp(miss);
				square += miss * miss;
				result.count++;
			}
	result.mean_ratio = sum / (double)result.count;
	result.rms = sqrt(square / (double)result.count);
	return result;
}

static void report_line(const char *label, const struct vle_row *rows, size_t count, const struct vle_row *like,
	const char *source, FILE *out)
{
	fprintf(out, "  %-68s", label);
	for (int how = IN_SAMPLE; how <= PAPER_OUT; how++) {
		struct errors e =
			regression_errors(rows, count, like->amine, like->gas, like->use, source, (enum how_fitted)how);

		if (how == IN_SAMPLE)
			fprintf(out, " %4zu %6.1f %6.1f %6.1f", e.count, e.median, e.ninth_decile, e.worst);
		else if (e.count > 0)
			fprintf(out, " %6.1f %6.1f", e.median, e.ninth_decile);
	}
	fputs("\n", out);
}

static bool seen_before(const struct vle_row *rows, size_t r)
{
	for (size_t q = 0; q < r; q++)
		if (rows[q].amine == rows[r].amine && rows[q].gas == rows[r].gas && rows[q].use == rows[r].use &&
			strcmp(rows[q].source, rows[r].source) == 0)
			return true;
	return false;
}

static void report_rms(const struct vle_row *rows, size_t count, const struct vle_row *like, FILE *out)
{
	for (int how = IN_SAMPLE; how <= PAPER_OUT; how++) {
		double rms =
			regression_errors(rows, count, like->amine, like->gas, like->use, NULL, (enum how_fitted)how)
				.rms;

		if (how == IN_SAMPLE)
			fprintf(out, "      rms of ln ratio %.3f in sample", rms);
		else if (!isnan(rms))
			fprintf(out, how == ROW_OUT ? ", %.3f without the row" : ", %.3f without the paper", rms);
	}
	fputs("\n", out);
}

static void report_system(const struct vle_row *rows, size_t count, enum amine amine, enum gas gas, FILE *out)
{
	static const char *const uses[ROW_USES] = {"in the window 5 Pa - 300 kPa, 22-132 C", "beyond it, up to 1 MPa",
		"disputed (weight 0.02 below 0.3 mol/mol, 0.3 above)", "suspect, not fitted",
		"above 1 MPa or a total pressure, not fitted"};

	fprintf(out, "%s %s\n", amine_rows[amine].name, gas_name(gas));
	for (int use = 0; use < ROW_USES; use++) {
		const struct vle_row like = {.amine = amine, .gas = gas, .use = (enum row_use)use};
		char label[80];

		if (regression_errors(rows, count, amine, gas, like.use, NULL, IN_SAMPLE).count == 0)
			continue;
		snprintf(label, sizeof label, "all %s", uses[use]);
		report_line(label, rows, count, &like, NULL, out);
		report_rms(rows, count, &like, out);
		for (size_t r = 0; r < count; r++) {
			if (rows[r].amine != amine || rows[r].gas != gas || (int)rows[r].use != use ||
				seen_before(rows, r))
				continue;
			snprintf(label, sizeof label, "  %.66s", rows[r].source);
			report_line(label, rows, count, &like, rows[r].source, out);
		}
	}
}

static void report_coefficients(const struct fitted *fitted, FILE *out)
{
	fputs("Coefficients and standard errors (PAIR, MEDIUM in kg/mol; slope per 100 K, bend per 100 K squared; ln "
	      "Kc "
	      "slope in\n1000/T)\n",
		out);
	for (size_t k = 0; k < fitted->count; k++)
		fprintf(out, "  %-24s %8.4f +/- %.3f\n", fitted->coefficients[k].name, fitted->coefficients[k].value,
			fitted->coefficients[k].standard_error);
	fputs("\n", out);
}

static void report_heats(const struct terms *terms, FILE *out)
{
	fputs("\nHeat of absorption, kJ/mol, at loading 0.1 and the amine's usual strength; measured: Kohl & Nielsen "
	      "5th ed.\n"
	      "1997 p. 99 (temperature not stated there); DIPA from memory\n"
	      "                 measured    40 C    60 C    80 C   100 C   120 C  largest excess\n",
		out);
	for (size_t a = 0; a < AMINE_COUNT; a++)
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
			double measured = calorimetric_heat((enum amine)a, gas), most = 0;

			fprintf(out, "  %-5s %s  %10.1f", amine_rows[a].name, gas_name(gas), measured / 1000);
			for (int celsius = 40; celsius <= 120; celsius += 20) {
				struct solution_input input = regression_state((enum amine)a,
					regression_usual_strength((enum amine)a, gas), celsius + ZERO_CELSIUS);
				double heat;

				input.loading[gas] = 0.1;
				heat = phase_heat_of_desorption(terms, &input, gas);
				if (fabs(heat - measured) > fabs(most))
					most = heat - measured;
				fprintf(out, " %7.1f", heat / 1000);
			}
			fprintf(out, "  %+7.1f\n", most / 1000);
		}
}

static void report_comparison(const struct terms *terms, const struct terms *without_correlation, FILE *out)
{
	fputs("\nAgainst Posey, Tapperson & Rochelle 1996 for MDEA (35-50 wt%, 40-120 C, total loading 0.01-0.6)\n",
		out);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		for (int mixture = 0; mixture < 2; mixture++) {
			struct comparison c = correlation_compare(terms, gas, mixture != 0);

			fprintf(out, "  %s, %-22s %3zu states, mean ratio %.3f, rms ln %.3f\n", gas_name(gas),
				mixture ? "both gases in equal part" : "alone", c.count, c.mean_ratio, c.rms);
		}
	fputs("The same when the correlation takes no part in the fit\n", out);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		struct comparison c = correlation_compare(without_correlation, gas, false);

		fprintf(out, "  %s, alone                  %3zu states, mean ratio %.3f, rms ln %.3f\n", gas_name(gas),
			c.count, c.mean_ratio, c.rms);
	}
}

void regression_report(const struct vle_row *rows, size_t count, const struct fitted *fitted,
	const struct terms *without_correlation, FILE *out)
{
	report_coefficients(fitted, out);
	fputs("Error of the partial pressure, per cent, 100 (exp|ln(computed/measured)| - 1), with the engine's own "
	      "terms.\n"
	      "Row out: without the row, one Gauss-Newton step from the whole fit. Paper out: fitted without the "
	      "paper; a "
	      "system\n"
	      "of one paper is fitted without the isotherm instead.\n\n"
	      "                                                                       rows median    90%  worst  row "
	      "out:      paper out:\n"
	      "                                                                                                  "
	      "median    90% median    90%\n",
		out);
	for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++)
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
			report_system(rows, count, amine, gas, out);
	report_heats(&fitted->terms, out);
	report_comparison(&fitted->terms, without_correlation, out);
}
