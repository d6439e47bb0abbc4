#include "regression.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/phase.h"
#include "chemistry/reaction.h"

/* Choices of the regression, none of them from the literature. */
static const double error_of_loading = 0.027, first_between = 0.15, degrees_of_freedom = 4, correlation_sigma = 1;
static const double pressure_error[AMINE_COUNT][GAS_COUNT] = {
	[AMINE_MEA] = {0.17, 0.25}, [AMINE_DEA] = {0.17, 0.20}, [AMINE_MDEA] = {0.20, 0.20}};
static const double shift_sigma[AMINE_COUNT][GAS_COUNT] = {
	[AMINE_MEA] = {0.05, 0}, [AMINE_DEA] = {0.05, 0.15}, [AMINE_MDEA] = {0.05, 0.2}};
enum { UNKNOWNS = 48, REWEIGHTINGS = 60, TURNS = 5 };

/* What is free in each system. */
enum form_kind {
	FORM_CENTRE,
	FORM_SLOPE,
	FORM_BEND,
	FORM_MEDIUM,
	FORM_MEDIUM_SLOPE,
	FORM_OFFSET,
	FORM_CARBAMATE_SLOPE
};

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
enum { FORMS = COUNT(forms) };
_Static_assert((int)FORMS <= (int)FITTED_TERMS, "raise FITTED_TERMS");

static struct pair_term *pair_of(struct terms *terms, const struct form *form)
{
	for (size_t k = 0; k < terms->count; k++) {
		struct pair_term *pair = &terms->pairs[k];

		if (pair->amine == form->amine && pair->i == form->i && pair->j == form->j)
			return pair;
	}
	terms->pairs[terms->count] = (struct pair_term){form->amine, form->i, form->j, 0, 0, 0, form->saturation};
	return &terms->pairs[terms->count++];
}

static double *coefficient(struct terms *terms, const struct form *form)
{
	switch (form->kind) {
	case FORM_CENTRE:
		return &pair_of(terms, form)->at_centre;
	case FORM_SLOPE:
		return &pair_of(terms, form)->slope;
	case FORM_BEND:
		return &pair_of(terms, form)->bend;
	case FORM_MEDIUM:
		terms->medium[form->amine].reach = form->saturation;
		return &terms->medium[form->amine].at_centre;
	case FORM_MEDIUM_SLOPE:
		return &terms->medium[form->amine].slope;
	case FORM_OFFSET:
		return &terms->carbamate[form->amine].offset;
	case FORM_CARBAMATE_SLOPE:
		break;
	}
	return &terms->carbamate[form->amine].slope;
}

static void name_coefficient(const struct form *form, char *name, size_t size)
{
	static const char *const kinds[] = {
		"", " slope", " bend", "medium", "medium slope", "ln Kc offset", "ln Kc slope"};
	static const char *const partners[SPECIES_COUNT] = {
		[SPECIES_HS] = "HS", [SPECIES_HCO3] = "HCO3", [SPECIES_AMCOO] = "AMCOO"};
	const char *amine = amine_rows[form->amine].name;

	if (form->kind <= FORM_BEND)
		snprintf(name, size, "%s (AMH,%s)%s", amine, partners[form->j], kinds[form->kind]);
	else
		snprintf(name, size, "%s %s", amine, kinds[form->kind]);
}

/* One system while it is fitted. Unknowns: the coefficients, then the shifts of the isotherms, then those of the papers. */
struct fit {
	enum amine amine;
	enum gas gas;
	const struct vle_row *rows[VLE_ROWS];
	double scale[VLE_ROWS]; /* square root of weight over variance */
	size_t isotherm[VLE_ROWS], paper[VLE_ROWS];
	size_t count, isotherms, papers;
	double between, moved; /* deviation between papers, and how far it moved in the last turn */
	unsigned how;
	const struct form *forms[FORMS];
	size_t coefficient_count;
	double unknown[UNKNOWNS];
	struct terms terms;
	gsl_matrix *slopes; /* of the residuals at the end, owned by the fit while it is looked at */
	gsl_vector *misses;
};

/* A single paper has no effect of its own beside the coefficients. */
static size_t paper_effects(const struct fit *fit)
{
	return fit->how & FIT_PAPERS && fit->papers > 1 ? fit->papers : 0;
}

static size_t first_paper(const struct fit *fit)
{
	return fit->coefficient_count + fit->isotherms;
}

static size_t unknown_count(const struct fit *fit)
{
	return first_paper(fit) + paper_effects(fit);
}

static void use_unknowns(struct fit *fit, const double *unknown)
{
	for (size_t k = 0; k < fit->coefficient_count; k++)
		*coefficient(&fit->terms, fit->forms[k]) = unknown[k];
}

bool regression_isotherm(const struct vle_row *a, const struct vle_row *b)
{
	const double strengths = 1e-3, degrees = 2.5;

	return strcmp(a->source, b->source) == 0 && fabs(a->mass_fraction - b->mass_fraction) < strengths &&
		fabs(a->temperature - b->temperature) < degrees;
}

static void add_row(struct fit *fit, const struct vle_row *row)
{
	size_t r = 0;

	while (r < fit->count && !regression_isotherm(fit->rows[r], row))
		r++;
	if (r < fit->count)
		fit->isotherm[fit->count] = fit->isotherm[r];
	else if (shift_sigma[fit->amine][fit->gas] > 0)
		fit->isotherm[fit->count] = fit->isotherms++;
	r = 0;
	while (r < fit->count && strcmp(fit->rows[r]->source, row->source) != 0)
		r++;
	fit->paper[fit->count] = r < fit->count ? fit->paper[r] : fit->papers++;
	fit->scale[fit->count] = sqrt(row->weight) / pressure_error[fit->amine][fit->gas];
	fit->rows[fit->count++] = row;
}

static double shift_of(const struct fit *fit, const double *unknown, size_t row)
{
	double isotherm = fit->isotherms > 0 ? unknown[fit->coefficient_count + fit->isotherm[row]] : 0;

	return isotherm + (paper_effects(fit) > 0 ? unknown[first_paper(fit) + fit->paper[row]] : 0);
}

/* The constraints beside the rows. */

static const double heat_celsius[HEAT_TEMPERATURES] = {40, 80, 120}, heat_loading[HEAT_LOADINGS] = {0.1, 0.3};
static const double correlation_strength[] = {0.35, 0.425, 0.5}, correlation_celsius[] = {40, 60, 80, 100, 120};
static const double correlation_loading[] = {0.01, 0.05, 0.1, 0.2, 0.3, 0.45, 0.6};
enum { STRENGTHS = 3, CELSIUS = 5, LOADINGS = 7, CORRELATIONS = 2 * STRENGTHS * CELSIUS * LOADINGS };

static bool uses_correlation(const struct fit *fit)
{
	return fit->how & FIT_CORRELATION && fit->amine == AMINE_MDEA;
}

static size_t residual_count(const struct fit *fit)
{
	return fit->count + unknown_count(fit) + (size_t)HEAT_TEMPERATURES * HEAT_LOADINGS +
		(uses_correlation(fit) ? CORRELATIONS : 0) + 1;
}

static size_t heat_residuals(const struct fit *fit, gsl_vector *f, size_t row)
{
	for (size_t t = 0; t < HEAT_TEMPERATURES; t++)
		for (size_t l = 0; l < HEAT_LOADINGS; l++) {
			struct solution_input input = regression_state(fit->amine,
				regression_usual_strength(fit->amine, fit->gas), heat_celsius[t] + ZERO_CELSIUS);
			struct heat_target target = regression_heat_target(fit->amine, fit->gas, t);

			input.loading[fit->gas] = heat_loading[l];
			gsl_vector_set(f, row++,
				(phase_heat_of_desorption(&fit->terms, &input, fit->gas) - target.heat) / target.sigma);
		}
	return row;
}

static size_t correlation_residuals(const struct fit *fit, gsl_vector *f, size_t row)
{
	for (size_t k = 0; k < CORRELATIONS; k++) {
		size_t mixture = k % 2, w = k / 2 % STRENGTHS, t = k / 2 / STRENGTHS % CELSIUS,
		       l = k / 2 / STRENGTHS / CELSIUS;
		double loading[GAS_COUNT] = {0};

		loading[fit->gas] = correlation_loading[l] / (mixture ? 2 : 1);
		loading[1 - fit->gas] = mixture ? correlation_loading[l] / 2 : 0;
		gsl_vector_set(f, row++,
			correlation_miss(&fit->terms, correlation_strength[w], correlation_celsius[t] + ZERO_CELSIUS,
				loading, fit->gas) /
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

	use_unknowns(fit, x->data);
	for (size_t r = 0; r < fit->count; r++)
		gsl_vector_set(f, row++,
			fit->scale[r] * (regression_miss(&fit->terms, fit->rows[r]) - shift_of(fit, x->data, r)));
	for (size_t k = 0; k < fit->coefficient_count; k++)
		gsl_vector_set(f, row++, (gsl_vector_get(x, k) - fit->forms[k]->prior) / fit->forms[k]->sigma);
	for (size_t k = fit->coefficient_count; k < first_paper(fit); k++)
		gsl_vector_set(f, row++, gsl_vector_get(x, k) / shift_sigma[fit->amine][fit->gas]);
	for (size_t k = first_paper(fit); k < unknown_count(fit); k++)
		gsl_vector_set(f, row++, gsl_vector_get(x, k) / fit->between);
	row = heat_residuals(fit, f, row);
	if (uses_correlation(fit))
		row = correlation_residuals(fit, f, row);
	gsl_vector_set(f, row++, carbamate_residual(fit));
	for (size_t r = 0; r < row; r++)
		if (!isfinite(gsl_vector_get(f, r)))
			return GSL_EDOM;
	return GSL_SUCCESS;
}

/* Variance by the slope and Student's weight (n + 1)/(n + z^2) at the terms as they are; how far a scale moved. */
static double reweight(struct fit *fit)
{
	double moved = 0, e = pressure_error[fit->amine][fit->gas];

	for (size_t r = 0; r < fit->count; r++) {
		double sigma = hypot(e, error_of_loading * regression_slope(&fit->terms, fit->rows[r]));
		double z = (regression_miss(&fit->terms, fit->rows[r]) - shift_of(fit, fit->unknown, r)) / sigma;
		double fresh =
			sqrt(fit->rows[r]->weight * (degrees_of_freedom + 1) / (degrees_of_freedom + z * z)) / sigma;

		moved = fmax(moved, fabs(fresh / fit->scale[r] - 1));
		fit->scale[r] = fresh;
	}
	return moved;
}

/*
 * The deviation between papers that explains their offsets: the mean of square and variance of each, the variance from the normal
 * matrix (one step of expectation and maximisation). How far it moved, relative.
 */
static double regard_papers(struct fit *fit, const gsl_matrix *slopes)
{
	const double least = 0.01;
	size_t n = unknown_count(fit), first = first_paper(fit);
	gsl_matrix *normal = gsl_matrix_alloc(n, n);
	double sum = 0, before = fit->between;

	gsl_blas_dsyrk(CblasLower, CblasTrans, 1, slopes, 0, normal);
	if (gsl_linalg_cholesky_decomp1(normal) == GSL_SUCCESS && gsl_linalg_cholesky_invert(normal) == GSL_SUCCESS) {
		for (size_t k = first; k < n; k++)
			sum += fit->unknown[k] * fit->unknown[k] + gsl_matrix_get(normal, k, k);
		fit->between = fmax(least, sqrt(sum / (double)(n - first)));
	}
	gsl_matrix_free(normal);
	return fabs(fit->between / before - 1);
}

static bool run(struct fit *fit, gsl_multifit_nlinear_fdf *function, gsl_multifit_nlinear_workspace *work)
{
	gsl_vector_view start = gsl_vector_view_array(fit->unknown, unknown_count(fit));
	int why, status = gsl_multifit_nlinear_init(&start.vector, function, work);

	if (status == GSL_SUCCESS)
		status = gsl_multifit_nlinear_driver(200, 1e-7, 1e-7, 0, NULL, NULL, &why, work);
	/* No further progress at the last digits is an end too. */
	if (status != GSL_SUCCESS && status != GSL_ENOPROG)
		return false;
	for (size_t k = 0; k < unknown_count(fit); k++)
		fit->unknown[k] = gsl_vector_get(work->x, k);
	use_unknowns(fit, fit->unknown);
	if (paper_effects(fit) > 0)
		fit->moved = regard_papers(fit, gsl_multifit_nlinear_jac(work));
	if (fit->slopes != NULL) {
		gsl_matrix_memcpy(fit->slopes, gsl_multifit_nlinear_jac(work));
		gsl_vector_memcpy(fit->misses, gsl_multifit_nlinear_residual(work));
	}
	return true;
}

static bool minimise(struct fit *fit)
{
	gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters();
	gsl_multifit_nlinear_fdf function = {
		.f = residuals, .n = residual_count(fit), .p = unknown_count(fit), .params = fit};
	gsl_multifit_nlinear_workspace *work;
	bool found;

	parameters.h_df = 1e-6;
	parameters.scale = gsl_multifit_nlinear_scale_levenberg;
	work = gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &parameters, function.n, function.p);
	found = work != NULL && run(fit, &function, work);
	gsl_multifit_nlinear_free(work);
	return found;
}

static bool fit_system(struct fit *fit)
{
	for (int i = 0; i < REWEIGHTINGS; i++) {
		if (!minimise(fit))
			return false;
		if (fmax(reweight(fit), fit->moved) < 1e-4)
			return true;
	}
	return true;
}

static bool of_system(const struct vle_row *row, enum amine amine, enum gas gas)
{
	return row->amine == amine && row->gas == gas;
}

static bool is_fitted(const struct vle_row *row)
{
	return row->use == ROW_FITTED || row->use == ROW_BEYOND || row->use == ROW_DISPUTED;
}

/* A system without rows: its forms, and the terms as they are as the start. */
static struct fit open_fit(enum amine amine, enum gas gas, unsigned how, const struct terms *terms)
{
	struct fit fit = {.amine = amine, .gas = gas, .how = how, .between = first_between, .terms = *terms};

	for (size_t f = 0; f < FORMS; f++)
		if (forms[f].amine == amine && forms[f].gas == gas)
			fit.forms[fit.coefficient_count++] = &forms[f];
	for (size_t k = 0; k < fit.coefficient_count; k++)
		fit.unknown[k] = *coefficient(&fit.terms, fit.forms[k]);
	return fit;
}

/* J^T J at the end of a fit, factored; `without` a row, or none if it is no row. False: singular. */
static bool factor_normal(const struct fit *fit, size_t without, gsl_matrix *normal)
{
	gsl_blas_dsyrk(CblasLower, CblasTrans, 1, fit->slopes, 0, normal);
	if (without < fit->count) {
		gsl_vector_const_view row = gsl_matrix_const_row(fit->slopes, without);

		gsl_blas_dsyr(CblasLower, -1, &row.vector, normal);
	}
	return gsl_linalg_cholesky_decomp1(normal) == GSL_SUCCESS;
}

/* Each row judged by the terms one Gauss-Newton step away, its own residual taken out of the sum. */
static bool leave_rows_out(const struct fit *full, struct vle_row **rows, size_t count)
{
	size_t n = unknown_count(full);
	gsl_matrix *normal = gsl_matrix_alloc(n, n);
	gsl_vector *step = gsl_vector_alloc(n);
	bool fine = true;

	for (size_t r = 0; r < count && fine; r++) {
		struct fit without = *full;

		fine = factor_normal(full, r, normal);
		gsl_matrix_get_row(step, full->slopes, r);
		gsl_vector_scale(step, gsl_vector_get(full->misses, r));
		if (fine)
			gsl_linalg_cholesky_svx(normal, step);
		for (size_t k = 0; k < n; k++)
			without.unknown[k] += gsl_vector_get(step, k);
		use_unknowns(&without, without.unknown);
		rows[r]->row_out = regression_miss(&without.terms, rows[r]);
	}
	gsl_matrix_free(normal);
	gsl_vector_free(step);
	return fine;
}

bool regression_together(
	const struct vle_row *const *rows, size_t count, const struct vle_row *a, const struct vle_row *b)
{
	for (size_t r = 1; r < count; r++)
		if (strcmp(rows[r]->source, rows[0]->source) != 0)
			return strcmp(a->source, b->source) == 0;
	return regression_isotherm(a, b);
}

static bool leave_together(const struct fit *full, const struct vle_row *a, const struct vle_row *b)
{
	return regression_together(full->rows, full->count, a, b);
}

static bool leave_papers_out(const struct fit *full, struct vle_row **rows, size_t count)
{
	for (size_t first = 0; first < count; first++) {
		struct fit fit = open_fit(full->amine, full->gas, full->how, &full->terms);

		if (!isnan(rows[first]->paper_out))
			continue;
		for (size_t r = 0; r < count; r++)
			if (!leave_together(full, rows[first], rows[r]))
				add_row(&fit, rows[r]);
		reweight(&fit);
		if (!fit_system(&fit))
			return false;
		for (size_t r = first; r < count; r++)
			if (leave_together(full, rows[first], rows[r]))
				rows[r]->paper_out = regression_miss(&fit.terms, rows[r]);
	}
	return true;
}

static void record_papers(const struct fit *fit, struct fitted *fitted)
{
	struct paper_effect *to = fitted->papers[fit->amine][fit->gas];
	bool effects = paper_effects(fit) > 0;

	fitted->between[fit->amine][fit->gas] = effects ? fit->between : (double)NAN;
	for (size_t r = 0; r < fit->count && effects; r++)
		if (fit->paper[r] < FITTED_PAPERS)
			to[fit->paper[r]] = (struct paper_effect){
				fit->rows[r]->source, fit->unknown[first_paper(fit) + fit->paper[r]]};
}

/* The coefficients of a system as they came out, with standard errors. */
static bool record(const struct fit *fit, struct fitted *fitted)
{
	size_t n = unknown_count(fit);
	gsl_matrix *normal = gsl_matrix_alloc(n, n);
	bool fine = factor_normal(fit, VLE_ROWS, normal) && gsl_linalg_cholesky_invert(normal) == GSL_SUCCESS;

	for (size_t k = 0; k < fit->coefficient_count && fine; k++) {
		struct fitted_term *term = &fitted->coefficients[fitted->count++];

		name_coefficient(fit->forms[k], term->name, sizeof term->name);
		term->value = fit->unknown[k];
		term->standard_error = sqrt(gsl_matrix_get(normal, k, k));
		*coefficient(&fitted->terms, fit->forms[k]) = fit->unknown[k];
	}
	record_papers(fit, fitted);
	gsl_matrix_free(normal);
	return fine;
}

static bool fit_one(
	struct vle_row *rows, size_t count, enum amine amine, enum gas gas, unsigned how, struct fitted *fitted)
{
	struct fit fit = open_fit(amine, gas, how, &fitted->terms);
	struct vle_row *mine[VLE_ROWS];
	size_t number = 0;
	bool fine;

	for (size_t r = 0; r < count; r++)
		if (of_system(&rows[r], amine, gas) && is_fitted(&rows[r])) {
			mine[number++] = &rows[r];
			add_row(&fit, &rows[r]);
		}
	fit.slopes = gsl_matrix_alloc(residual_count(&fit), unknown_count(&fit));
	fit.misses = gsl_vector_alloc(residual_count(&fit));
	fine = fit_system(&fit) && record(&fit, fitted) &&
		(!(how & FIT_LEAVE_OUT) ||
			(leave_rows_out(&fit, mine, number) && leave_papers_out(&fit, mine, number)));
	gsl_matrix_free(fit.slopes);
	gsl_vector_free(fit.misses);
	return fine;
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

/* Mixtures of the correlation tie MDEA's two systems together: they are fitted by turns until neither moves. */
static bool fit_amine(struct vle_row *rows, size_t count, enum amine amine, unsigned how, struct fitted *fitted)
{
	size_t before = fitted->count, turns = amine == AMINE_MDEA && how & FIT_CORRELATION ? TURNS : 1;
	const unsigned last = FIT_LEAVE_OUT; /* in the last turn only */

	for (size_t turn = 0; turn < turns; turn++) {
		fitted->count = before;
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
			if (!fit_one(rows, count, amine, gas, turn + 1 == turns ? how : how & ~last, fitted))
				return false;
	}
	return true;
}

bool regression_fit(struct vle_row *rows, size_t count, unsigned how, struct fitted *fitted)
{
	gsl_set_error_handler_off();
	*fitted = (struct fitted){.count = 0};
	for (size_t f = 0; f < FORMS; f++)
		*coefficient(&fitted->terms, &forms[f]) = forms[f].prior;
	for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++)
		if (!fit_amine(rows, count, amine, how, fitted))
			return false;
	round_terms(&fitted->terms);
	for (size_t r = 0; r < count; r++)
		rows[r].in_sample = regression_miss(&fitted->terms, &rows[r]);
	return true;
}
