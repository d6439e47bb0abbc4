/* What the sulfide analysis is calibrated on, and where it misses. */
#include "base/count.h"
#include "write/write_html.h"

#include "chemistry/constants.h"
#include "sulfide/calibration.h"
#include "sulfide/lean_side.h"

static void add_cell(xmlNode *row, const char *words)
{
	html_add_text(row, "td", NULL, words);
}

static void add_scores(struct page *page, xmlNode *section)
{
	struct calibration_score fit = calibration_score(CALIBRATION_FIT), check = calibration_score(CALIBRATION_CHECK);
	html_add_text(section, "p", NULL,
		"A self-consistency test, not a validation: the model against the observations it was fitted to. No "
		"public source "
		"has the iron sulfide phases at the two ends of a lean/rich exchanger, nor a measured lean loading "
		"below which a "
		"film is lost.");
	html_add_text(section, "p", NULL,
		arena_format(page->arena,
			"Of %zu observations fitted the model hits %zu in sample (%d when each in turn was left out of "
			"the fit, as found "
			"when it was made); of %zu kept out it hits %zu. The simple rule by temperature alone, "
			"mackinawite below 120 degC, hits %zu of the %zu and %zu of the %zu: the rates add only the "
			"effect of age and of H2S.",
			fit.rows, fit.hits, CALIBRATION_LEFT_OUT_HITS, check.rows, check.hits, fit.temperature_hits,
			fit.rows, check.temperature_hits, check.rows));
}

static void add_trust(struct page *page, xmlNode *section)
{
	html_add_text(section, "p", NULL,
		arena_format(page->arena,
			"Calibrated on 21-200 degC, molecular H2S 0.0039-1.8 mol/kg and 24-8,760 h. Rates are good to "
			"a decade. The order "
			"in H2S of the first step is %.2f +/- %.2f, its activation energy %.0f +/- %.0f kJ/mol, that "
			"of nucleation %.0f "
			"+/- %.0f: the dependence on H2S rests on Rickard's order and on practice. Every lean amine "
			"lies below the "
			"calibrated H2S (5e-5 to 3e-4 mol/kg is usual), so every lean answer is extrapolated; at 122 "
			"degC the formula predicts a dense scale down to a loading of 1e-6, which has not been "
			"observed. Its best-supported result is that mackinawite persists for years below about 75 "
			"degC, even at 10 kPa of H2S.",
			FIRST_ORDER, FIRST_ORDER_ERROR, FIRST_ENERGY / 1000, FIRST_ENERGY_ERROR / 1000,
			NUCLEATION_ENERGY / 1000, NUCLEATION_ENERGY_ERROR / 1000));
	html_add_text(section, "p", NULL,
		"The age of a film follows from the corrosion rate, and the rate depends on the film; because this is "
		"circular, four ages are always shown. 8,000 h implies less than 0.013 mm/y; 0.1 mm/y gives 1,000 h, "
		"0.25 mm/y "
		"400 h.");
}

static void add_points(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"", "Source", "How it is known", "Trust", "degC", "H2S(aq), mol/kg", "h",
		"Seen", "Model, M / P / Y", "Model", "By temperature", NULL};
	xmlNode *body = page_rows(
		section, "scales numbered", "Observations: M mackinawite, P pyrrhotite or troilite, Y pyrite", columns);
	for (size_t i = 0; i < calibration_count(); i++) {
		const struct calibration_point *point = calibration_point(i);
		struct calibration_result result = calibration_result(point);
		xmlNode *row = html_add(body, "tr", NULL);
		add_cell(row, point->id);
		xmlNode *source = html_add_text(row, "td", NULL, point->source);
		if (*point->note)
			html_add_text(source, "span", "second", point->note);
		add_cell(row,
			arena_format(page->arena, "%s%s", point->provenance,
				point->use == CALIBRATION_CHECK ? "; kept out of the fit" : ""));
		add_cell(row, point->trust);
		add_cell(row, arena_format(page->arena, "%.0f", point->celsius));
		add_cell(row, arena_format(page->arena, "%.3g", result.h2s));
		add_cell(row, arena_format(page->arena, "%.0f", point->hours));
		add_cell(row, point->seen);
		add_cell(row,
			arena_format(page->arena, "%.2f / %.2f / %.2f", result.fractions.mackinawite,
				result.fractions.pyrrhotite, result.fractions.pyrite));
		html_add_text(html_add(row, "td", NULL), "b", NULL, result.hit ? "hits" : "misses");
		add_cell(row, result.temperature_hit ? "hits" : "misses");
	}
}

static void add_constants(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {
		"degC", "Mackinawite", "Pyrrhotite", "Mackinawite, Benning and others 2000", NULL};
	static const double celsius[] = {25, 60, 100, 120};
	xmlNode *body = page_rows(section, "scales narrow", "log10 K* of FeS + 2 H+ = Fe2+ + H2S(aq)", columns);
	for (size_t i = 0; i < COUNT(celsius); i++) {
		double t = celsius[i] + ZERO_CELSIUS;
		xmlNode *row = html_add(body, "tr", NULL);
		html_set(html_add_text(row, "th", NULL, arena_format(page->arena, "%.0f", celsius[i])), "scope", "row");
		add_cell(row, arena_format(page->arena, "%.3f", sulfide_log_k_star(SOLID_MACKINAWITE, t)));
		add_cell(row, arena_format(page->arena, "%.3f", sulfide_log_k_star(SOLID_PYRRHOTITE, t)));
		add_cell(row, arena_format(page->arena, "%.3f", sulfide_log_k_star_benning(t)));
	}
	html_add_text(section, "p", NULL,
		"One data set for all solids, so that differences are meaningful. The independent mackinawite data lie "
		"up to 1.4 decades lower when hot: a lower bound, not combined with pyrrhotite of another set, since "
		"mackinawite would then be the stable phase.");
}

void page_calibration(struct page *page)
{
	if (page->review->lean_side->circuit->sweet)
		return; /* no sulfide was asked of it */
	xmlNode *section = page_section(page, "calibration", "How far the sulfide analysis can be trusted");
	add_scores(page, section);
	add_trust(page, section);
	add_points(page, section);
	add_constants(page, section);
}
