#include "regression.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/phase.h"
#include "chemistry/reaction.h"
#include "chemistry/solution.h"

/* Choices of the regression, none of them from the literature. */
static const double window_pressure[2] = {5, 300e3}, window_celsius[2] = {22, 132};
static const double data_sigma = 0.2, soft_limit = 0.5;
static const double suspect_weight = 0.3, disputed_weight = 0.1, detection_weight = 0.5;
static const double heat_sigma = 5e3, correlation_sigma = 0.4;
enum { FOLDS = 10, LEAVE_ONE_OUT_BELOW = 20, COEFFICIENTS = 6, REWEIGHTINGS = 30 };

/* What is free in each system. */
enum form_kind { FORM_CENTRE, FORM_SLOPE, FORM_OFFSET, FORM_CARBAMATE_SLOPE };

struct form {
	enum amine amine;
	enum gas gas;
	enum form_kind kind;
	enum species i, j;
	double saturation;
	double prior, sigma; /* of the coefficient */
};

static const struct form forms[] = {
#include "regression_forms.def"
};
enum { FORMS = sizeof forms / sizeof *forms };

/* Reading */

static char *field(char **rest)
{
	char *start = *rest, *to = start, *from = start;
	bool quoted = false;

	for (; *from != '\0' && (quoted || *from != ',') && *from != '\n' && *from != '\r'; from++) {
		if (*from == '"')
			quoted = !quoted;
		else
			*to++ = *from;
	}
	*rest = from + (*from != '\0');
	*to = '\0';
	return start;
}

/* 0 where the field is no number; read_row() refuses what must not be. */
static double next_number(char **rest)
{
	return strtod(field(rest), NULL);
}

/* Mass fraction of a strength in mol/L by the densities that Haji-Sulaiman et al. 1998 give. */
static double from_molar(enum amine amine, double molar)
{
	double density = amine == AMINE_DEA ? (molar < 3 ? DEA_2_MOLAR_DENSITY : DEA_4_MOLAR_DENSITY)
					    : (molar < 3 ? MDEA_2_MOLAR_DENSITY : MDEA_4_MOLAR_DENSITY);

	return molar * amine_rows[amine].molar_mass / density;
}

static void classify(struct vle_row *row, const char *note)
{
	double celsius = row->temperature - ZERO_CELSIUS;

	row->weight = 1;
	row->use = ROW_FITTED;
	if (strstr(note, "detection") != NULL)
		row->weight = detection_weight;
	if (strstr(note, "suspect") != NULL) {
		row->use = ROW_SUSPECT;
		row->weight = suspect_weight;
	}
	if (strstr(note, "disputed") != NULL) {
		row->use = ROW_DISPUTED;
		row->weight = disputed_weight;
	}
	if (strstr(note, "total pressure") != NULL || row->measured < window_pressure[0] ||
		row->measured > window_pressure[1] || celsius < window_celsius[0] || celsius > window_celsius[1])
		row->use = ROW_OUTSIDE;
}

static bool read_row(char *line, struct vle_row *row)
{
	char *rest = line, *unit, *pressure[GAS_COUNT], *note;
	const char *source = field(&rest);
	double strength, loading[GAS_COUNT];
	const double pa_per_kpa = 1000;

	*row = (struct vle_row){.in_sample = (double)NAN, .left_out = (double)NAN};
	if (strlen(source) >= sizeof row->source)
		return false;
	memcpy(row->source, source, strlen(source));
	if (!amine_find(field(&rest), &row->amine))
		return false;
	strength = next_number(&rest);
	unit = field(&rest);
	row->mass_fraction = strcmp(unit, "wt%") == 0 ? strength / 100 : from_molar(row->amine, strength);
	row->temperature = next_number(&rest) + ZERO_CELSIUS;
	loading[GAS_H2S] = next_number(&rest);
	loading[GAS_CO2] = next_number(&rest);
	pressure[GAS_H2S] = field(&rest);
	pressure[GAS_CO2] = field(&rest);
	field(&rest);
	note = field(&rest);
	row->gas = pressure[GAS_H2S][0] != '\0' ? GAS_H2S : GAS_CO2;
	row->loading = loading[row->gas];
	row->measured = pa_per_kpa * strtod(pressure[row->gas], NULL);
	classify(row, note);
	return row->measured > 0 && row->loading > 0 && row->mass_fraction > 0 && row->mass_fraction < 1;
}

size_t regression_read(const char *path, struct vle_row *rows)
{
	FILE *in = fopen(path, "r");
	char line[512];
	size_t count = 0;

	if (in == NULL)
		return 0;
	if (fgets(line, sizeof line, in) != NULL)
		while (count < VLE_ROWS && fgets(line, sizeof line, in) != NULL) {
			if (!read_row(line, &rows[count])) {
				count = 0;
				break;
			}
			count++;
		}
	fclose(in);
	return count;
}

/* One state */

static struct solution_input state_of(enum amine amine, double mass_fraction, double temperature)
{
	struct solution_input input = {.temperature = temperature};

	input.mass_fraction[amine] = mass_fraction;
	return input;
}

double regression_miss(const struct terms *terms, const struct vle_row *row)
{
	struct solution_input input = state_of(row->amine, row->mass_fraction, row->temperature);
	struct solution solution;

	input.loading[row->gas] = row->loading;
	if (!solution_solve(terms, &input, &solution))
		return (double)NAN;
	return log(solution.partial_pressure[row->gas] / row->measured);
}

double calorimetric_heat(enum amine amine, enum gas gas)
{
	static const double kj_mol[AMINE_COUNT][GAS_COUNT] = {[AMINE_MEA] = {48.8, 84.5},
		[AMINE_DEA] = {40.4, 71.7},
		[AMINE_DGA] = {53.5, 83.9},
		[AMINE_MDEA] = {41.2, 58.9},
		[AMINE_DIPA] = {37.7, 73.7}};

	return 1000 * kj_mol[amine][gas];
}

double correlation_pressure(double mass_fraction, double temperature, const double loading[GAS_COUNT], enum gas gas)
{
	static const double a[GAS_COUNT] = {24.97, 32.45}, b[GAS_COUNT] = {-5554, -7440};
	static const double c[GAS_COUNT] = {-16.8, 33.0}, d[GAS_COUNT] = {-1.8, -18.5};
	double amine = mass_fraction / amine_rows[AMINE_MDEA].molar_mass;
	double water = (1 - mass_fraction) / MOLAR_MASS_WATER, total = loading[GAS_H2S] + loading[GAS_CO2];
	double x0 = amine / (amine + water), x = amine * loading[gas] / (amine * (1 + total) + water);
	double ln_k = a[gas] + b[gas] / temperature + c[gas] * total * x0 + d[gas] * sqrt(total * x0);

	return 1000 * exp(ln_k) * x * total / (1 - total);
}

/* Fitting */

static double *coefficient(struct terms *terms, const struct form *form)
{
	if (form->kind == FORM_OFFSET)
		return &terms->carbamate[form->amine].offset;
	if (form->kind == FORM_CARBAMATE_SLOPE)
		return &terms->carbamate[form->amine].slope;
	for (size_t k = 0; k < terms->count; k++) {
		struct pair_term *pair = &terms->pairs[k];

		if (pair->amine == form->amine && pair->i == form->i && pair->j == form->j)
			return form->kind == FORM_CENTRE ? &pair->at_centre : &pair->slope;
	}
	terms->pairs[terms->count] = (struct pair_term){form->amine, form->i, form->j, 0, 0, form->saturation};
	terms->count++;
	return coefficient(terms, form);
}

static void empty_terms(struct terms *terms)
{
	*terms = (struct terms){.count = 0};
	for (size_t f = 0; f < FORMS; f++)
		*coefficient(terms, &forms[f]) = forms[f].prior;
}

/* One system while it is fitted. */
struct fit {
	enum amine amine;
	enum gas gas;
	const struct vle_row *rows[VLE_ROWS];
	double robust[VLE_ROWS];
	size_t count;
	bool with_correlation;
	const struct form *forms[COEFFICIENTS];
	size_t coefficient_count;
	struct terms terms;
};

static const double heat_celsius[] = {40, 80, 120}, heat_loading[] = {0.1, 0.3};
static const double correlation_strength[] = {0.35, 0.5}, correlation_celsius[] = {40, 80, 120};
static const double correlation_loading[] = {0.02, 0.1, 0.3, 0.6};
enum {
	HEATS = 3 * 2,
	CORRELATIONS = 2 * 3 * 4,
};

/* The strength calorimetry is compared at: the amine's usual one. */
static double usual_strength(enum amine amine)
{
	static const double usual[AMINE_COUNT] = {
		[AMINE_MEA] = 0.2, [AMINE_DEA] = 0.3, [AMINE_MDEA] = 0.45, [AMINE_DGA] = 0.5, [AMINE_DIPA] = 0.35};

	return usual[amine];
}

static bool uses_correlation(const struct fit *fit)
{
	return fit->with_correlation && fit->amine == AMINE_MDEA;
}

static size_t residual_count(const struct fit *fit)
{
	return fit->count + fit->coefficient_count + HEATS + (uses_correlation(fit) ? CORRELATIONS : 0) + 1;
}

static size_t heat_residuals(const struct fit *fit, gsl_vector *f, size_t row)
{
	for (size_t t = 0; t < 3; t++)
		for (size_t l = 0; l < 2; l++) {
			struct solution_input input =
				state_of(fit->amine, usual_strength(fit->amine), heat_celsius[t] + ZERO_CELSIUS);
			double heat;

			input.loading[fit->gas] = heat_loading[l];
			heat = phase_heat_of_desorption(&fit->terms, &input, fit->gas);
			gsl_vector_set(f, row++, (heat - calorimetric_heat(fit->amine, fit->gas)) / heat_sigma);
		}
	return row;
}

static double correlation_miss(
	const struct terms *terms, double mass_fraction, double temperature, const double *loading, enum gas gas)
{
	struct solution_input input = state_of(AMINE_MDEA, mass_fraction, temperature);
	struct solution solution;

	memcpy(input.loading, loading, sizeof input.loading);
	if (!solution_solve(terms, &input, &solution))
		return (double)NAN;
	return log(solution.partial_pressure[gas] / correlation_pressure(mass_fraction, temperature, loading, gas));
}

static size_t correlation_residuals(const struct fit *fit, gsl_vector *f, size_t row)
{
	for (size_t w = 0; w < 2; w++)
		for (size_t t = 0; t < 3; t++)
			for (size_t l = 0; l < 4; l++) {
				double loading[GAS_COUNT] = {0};

				loading[fit->gas] = correlation_loading[l];
				gsl_vector_set(f, row++,
					correlation_miss(&fit->terms, correlation_strength[w],
						correlation_celsius[t] + ZERO_CELSIUS, loading, fit->gas) /
						correlation_sigma);
			}
	return row;
}

/* DEA's carbamate constant is in dispute; it is held near 3.1 kg/mol at 40 C. */
static double carbamate_residual(const struct fit *fit)
{
	const double at = 313.15, kc = 3.1, sigma = 0.2;

	if (fit->amine != AMINE_DEA || fit->gas != GAS_CO2)
		return 0;
	return (reaction_ln_carbamate(AMINE_DEA, &fit->terms, at) - log(kc)) / sigma;
}

static int residuals(const gsl_vector *x, void *data, gsl_vector *f)
{
	struct fit *fit = data;
	size_t row = 0;

	for (size_t k = 0; k < fit->coefficient_count; k++)
		*coefficient(&fit->terms, fit->forms[k]) = gsl_vector_get(x, k);
	for (size_t r = 0; r < fit->count; r++)
		gsl_vector_set(f, row++,
			sqrt(fit->rows[r]->weight * fit->robust[r]) * regression_miss(&fit->terms, fit->rows[r]) /
				data_sigma);
	for (size_t k = 0; k < fit->coefficient_count; k++)
		gsl_vector_set(f, row++, (gsl_vector_get(x, k) - fit->forms[k]->prior) / fit->forms[k]->sigma);
	row = heat_residuals(fit, f, row);
	if (uses_correlation(fit))
		row = correlation_residuals(fit, f, row);
	gsl_vector_set(f, row++, carbamate_residual(fit));
	for (size_t r = 0; r < row; r++)
		if (!isfinite(gsl_vector_get(f, r)))
			return GSL_EDOM;
	return GSL_SUCCESS;
}

/* arctan loss by reweighting: rho(z) = arctan z, z = (miss/limit)^2, weight rho' = 1/(1 + z^2) */
static double reweight(struct fit *fit)
{
	double moved = 0;

	for (size_t r = 0; r < fit->count; r++) {
		double z = pow(regression_miss(&fit->terms, fit->rows[r]) / soft_limit, 2), fresh = 1 / (1 + z * z);

		moved = fmax(moved, fabs(fresh - fit->robust[r]));
		fit->robust[r] = fresh;
	}
	return moved;
}

static bool minimise(struct fit *fit)
{
	gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters();
	gsl_multifit_nlinear_fdf function = {
		.f = residuals, .n = residual_count(fit), .p = fit->coefficient_count, .params = fit};
	gsl_multifit_nlinear_workspace *work;
	gsl_vector *x = gsl_vector_alloc(fit->coefficient_count);
	int status = GSL_ENOMEM, why;

	parameters.h_df = 1e-6;
	parameters.scale = gsl_multifit_nlinear_scale_levenberg;
	work = gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &parameters, function.n, function.p);
	if (x != NULL && work != NULL) {
		for (size_t k = 0; k < fit->coefficient_count; k++)
			gsl_vector_set(x, k, *coefficient(&fit->terms, fit->forms[k]));
		status = gsl_multifit_nlinear_init(x, &function, work);
	}
	if (status == GSL_SUCCESS)
		status = gsl_multifit_nlinear_driver(200, 1e-6, 1e-6, 0, NULL, NULL, &why, work);
	/* No further progress at the last digits is an end too. */
	if (status == GSL_ENOPROG)
		status = GSL_SUCCESS;
	if (status == GSL_SUCCESS)
		for (size_t k = 0; k < fit->coefficient_count; k++)
			*coefficient(&fit->terms, fit->forms[k]) = gsl_vector_get(work->x, k);
	gsl_multifit_nlinear_free(work);
	gsl_vector_free(x);
	return status == GSL_SUCCESS;
}

static bool fit_system(struct fit *fit)
{
	for (int i = 0; i < REWEIGHTINGS; i++) {
		if (!minimise(fit))
			return false;
		if (reweight(fit) < 1e-3)
			return true;
	}
	return true;
}

static bool of_system(const struct vle_row *row, enum amine amine, enum gas gas)
{
	return row->amine == amine && row->gas == gas;
}

/* Fits without the fold's rows, and judges these. The i-th fitted row of a system is in fold i mod folds. */
static bool leave_out(const struct fit *full, struct vle_row **rows, size_t count)
{
	size_t folds = count < LEAVE_ONE_OUT_BELOW ? count : FOLDS;

	for (size_t fold = 0; fold < folds; fold++) {
		struct fit fit = *full;

		fit.count = 0;
		for (size_t r = 0; r < count; r++)
			if (r % folds != fold) {
				fit.robust[fit.count] = full->robust[r];
				fit.rows[fit.count++] = rows[r];
			}
		if (!fit_system(&fit))
			return false;
		for (size_t r = fold; r < count; r += folds)
			rows[r]->left_out = regression_miss(&fit.terms, rows[r]);
	}
	return true;
}

/* Terms as the table carries them, so that what is reported is what the engine uses. */
static void round_terms(struct terms *terms)
{
	const double digits = 1e4;

	for (size_t f = 0; f < FORMS; f++) {
		double *value = coefficient(terms, &forms[f]);

		*value = round(*value * digits) / digits;
	}
}

static bool fit_one(struct vle_row *rows, size_t count, enum amine amine, enum gas gas, bool cross_validate,
	bool with_correlation, struct terms *terms)
{
	struct fit fit = {.amine = amine, .gas = gas, .with_correlation = with_correlation, .terms = *terms};
	struct vle_row *mine[VLE_ROWS];

	for (size_t f = 0; f < FORMS; f++)
		if (forms[f].amine == amine && forms[f].gas == gas)
			fit.forms[fit.coefficient_count++] = &forms[f];
	for (size_t r = 0; r < count; r++)
		if (of_system(&rows[r], amine, gas) && rows[r].use != ROW_OUTSIDE) {
			mine[fit.count] = &rows[r];
			fit.robust[fit.count] = 1;
			fit.rows[fit.count++] = &rows[r];
		}
	if (!fit_system(&fit))
		return false;
	for (size_t k = 0; k < fit.coefficient_count; k++)
		*coefficient(terms, fit.forms[k]) = *coefficient(&fit.terms, fit.forms[k]);
	return !cross_validate || leave_out(&fit, mine, fit.count);
}

bool regression_fit(struct vle_row *rows, size_t count, bool cross_validate, bool with_correlation, struct terms *terms)
{
	gsl_set_error_handler_off();
	empty_terms(terms);
	for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++)
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
			if (!fit_one(rows, count, amine, gas, cross_validate, with_correlation, terms))
				return false;
	round_terms(terms);
	for (size_t r = 0; r < count; r++)
		rows[r].in_sample = regression_miss(terms, &rows[r]);
	return true;
}

/* Reporting */

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
	      " * PAIR(amine, i, j, kg/mol at 353.15 K, slope per 100 K, saturation in mol/kg or 0)\n"
	      " * CARBAMATE(amine, offset of ln Kc at 353.15 K, slope in 1000/T)\n"
	      " */\n",
		out);
	for (size_t k = 0; k < terms->count; k++) {
		const struct pair_term *pair = &terms->pairs[k];

		fprintf(out, "PAIR(%s, %s, %s, %.4f, %.4f, %g)\n", amine_rows[pair->amine].name, role(pair->i),
			role(pair->j), pair->at_centre, pair->slope, pair->saturation);
	}
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

static double summarise(double *misses, size_t count, double *worst, double *rms)
{
	double sum = 0;

	*worst = *rms = (double)NAN;
	if (count == 0)
		return (double)NAN;
	for (size_t i = 0; i < count; i++)
		sum += misses[i] * misses[i];
	qsort(misses, count, sizeof *misses, by_size);
	*worst = 100 * (exp(misses[count - 1]) - 1);
	*rms = sqrt(sum / (double)count);
	return 100 * (exp((misses[(count - 1) / 2] + misses[count / 2]) / 2) - 1);
}

struct error_summary regression_summary(
	const struct vle_row *rows, size_t count, enum amine amine, enum gas gas, enum row_use use, const char *source)
{
	static const struct error_summary none;
	struct error_summary summary = none;
	double in[VLE_ROWS] = {0}, left[VLE_ROWS] = {0};
	size_t left_count = 0;

	for (size_t r = 0; r < count; r++) {
		if (!of_system(&rows[r], amine, gas) || rows[r].use != use ||
			(source != NULL && strcmp(source, rows[r].source) != 0))
			continue;
		in[summary.count++] = fabs(rows[r].in_sample);
		if (!isnan(rows[r].left_out))
			left[left_count++] = fabs(rows[r].left_out);
	}
	summary.median = summarise(in, summary.count, &summary.worst, &summary.rms);
	summary.left_median = summarise(left, left_count, &summary.left_worst, &summary.left_rms);
	return summary;
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

static void report_line(const char *label, const struct error_summary *s, FILE *out)
{
	fprintf(out, "  %-68s %4zu %7.1f %8.1f", label, s->count, s->median, s->worst);
	if (isnan(s->left_median))
		fprintf(out, " %9s %8s\n", "-", "-");
	else
		fprintf(out, " %9.1f %8.1f\n", s->left_median, s->left_worst);
}

static void report_system(const struct vle_row *rows, size_t count, enum amine amine, enum gas gas, FILE *out)
{
	static const char *const uses[ROW_USES] = {"in the window of the fit", "suspect (weight 0.3)",
		"disputed (weight 0.1)", "outside the window or a total pressure, not fitted"};

	fprintf(out, "%s %s\n", amine_rows[amine].name, gas_name(gas));
	for (int use = 0; use < ROW_USES; use++) {
		struct error_summary all = regression_summary(rows, count, amine, gas, (enum row_use)use, NULL);
		char label[80];

		if (all.count == 0)
			continue;
		snprintf(label, sizeof label, "all %s", uses[use]);
		report_line(label, &all, out);
		fprintf(out, "      rms of ln ratio %.3f in sample", all.rms);
		if (!isnan(all.left_rms))
			fprintf(out, ", %.3f left out", all.left_rms);
		fputs("\n", out);
		for (size_t r = 0; r < count; r++) {
			struct error_summary paper;
			bool seen = false;

			for (size_t q = 0; q < r && !seen; q++)
				seen = of_system(&rows[q], amine, gas) && (int)rows[q].use == use &&
					strcmp(rows[q].source, rows[r].source) == 0;
			if (seen || !of_system(&rows[r], amine, gas) || (int)rows[r].use != use)
				continue;
			paper = regression_summary(rows, count, amine, gas, (enum row_use)use, rows[r].source);
			snprintf(label, sizeof label, "  %.66s", rows[r].source);
			report_line(label, &paper, out);
		}
	}
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
				struct solution_input input =
					state_of((enum amine)a, usual_strength((enum amine)a), celsius + ZERO_CELSIUS);
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

void regression_report(const struct vle_row *rows, size_t count, const struct terms *terms,
	const struct terms *without_correlation, FILE *out)
{
	fputs("Error of the partial pressure, per cent, 100 (exp|ln(computed/measured)| - 1), with the engine's own "
	      "terms.\n"
	      "Left out: fitted without the row (systems of under 20 rows one at a time, else ten interleaved "
	      "folds).\n\n"
	      "                                                                        rows  median    worst  left "
	      "out:\n"
	      "                                                                                                median  "
	      "  worst\n",
		out);
	for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++)
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
			report_system(rows, count, amine, gas, out);
	report_heats(terms, out);
	report_comparison(terms, without_correlation, out);
}
