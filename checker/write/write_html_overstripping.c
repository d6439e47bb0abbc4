/* The over-stripping question in the review: its answers, the claims on it, the windows of the lean loading, the sweep. */
#include "base/count.h"
#include "write/write_html.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "chemistry/constants.h"
#include "sulfide/lean_side.h"
#include "write/figure.h"

/* ---- the question ---- */

static const struct {
	bool against;
	const char *words, *source;
} sides[] = {
	{false,
		"With CO2 and H2S together, stripping H2S completely lets CO2 attack the sulfide film of hot lean "
		"carbon steel.",
		"solvent-maker-guide"},
	{false,
		"Regenerator bottoms, hot lean lines and reboiler returns corrode where they lack an iron sulfide "
		"film; heat-stable salts and velocity add to it.",
		"refinery-qa2021"},
	{false, "Published rich loading limits do not consider the inhibition by H2S.", "kohl-nielsen1997"},
	{true, "High lean loading is itself named a cause of corrosion: acid gas flashes in the hot lean side.",
		"solvent-maker-guide"},
	{true,
		"The cold lean side carries only loose mackinawite at any lean loading, it blackens the filters, and "
		"there is no minimum lean loading.",
		"practitioners"},
	{true,
		"Gas, tail gas and liquid specifications need lean loadings down to 0.003-0.005 mol/mol; carbon steel "
		"in hot lean "
		"service should be stainless instead.",
		"practitioners"},
	{true, "Units with CO2 only have no iron sulfide at all: there the argument cannot apply.", "perdu2014"},
	{true,
		"A dense scale is not proof of protection: pyrrhotite conducts and has initiated local galvanic attack "
		"in tests at 30-60 degC.",
		"navabzadeh2017"},
};

static void add_side(struct page *page, xmlNode *parent, const char *heading, bool against)
{
	html_add_text(parent, "h4", NULL, heading);
	xmlNode *list = html_add(parent, "ul", NULL);
	for (size_t i = 0; i < COUNT(sides); i++) {
		if (sides[i].against != against)
			continue;
		xmlNode *entry = html_add_text(list, "li", NULL, sides[i].words);
		html_say(entry, " (");
		page_source(page, entry, catalogue_source(page->review->catalogue, sides[i].source));
		html_say(entry, ")");
	}
}

void page_dispute(struct page *page, xmlNode *section)
{
	html_add_text(section, "h3", NULL, "The dispute");
	html_add_text(section, "p", NULL,
		"Published guidance is contradictory on this. Both sides are printed; this program takes neither. It "
		"can calculate the cold side. For the hot side it can only state how far the conditions are below the "
		"H2S range of its model.");
	xmlNode *pair = html_add(section, "div", "pair");
	add_side(page, html_add(pair, "div", NULL), "For leaving H2S in", false);
	add_side(page, html_add(pair, "div", NULL), "Against", true);
}

void page_first_answer(struct page *page, xmlNode *section)
{
	const struct overstripping *all = page->review->lean_side->overstripping;
	xmlNode *answer = html_add(section, "p", "short-answer");
	html_name(answer, all->answers[0].words);
	html_say(answer, " ");
	html_set(html_add_text(answer, "a", NULL, "More"), "href", "#sulfide");
}

void page_overstripping(struct page *page, xmlNode *section)
{
	const struct overstripping *all = page->review->lean_side->overstripping;
	for (size_t i = 0; i < all->answer_count; i++)
		html_name(html_add(section, "p", "answer"), all->answers[i].words);
}

void page_film_claims(struct page *page, xmlNode *section)
{
	const struct overstripping *all = page->review->lean_side->overstripping;
	if (all->claim_count)
		html_add_text(section, "h3", NULL, "What the package claims");
	for (size_t i = 0; i < all->claim_count; i++) {
		xmlNode *claim = html_add(section, "p", NULL);
		html_name(claim, page_place(page, all->claims[i].item->place));
		html_say(claim, ": ");
		html_name(claim, all->claims[i].sentence.words);
	}
}

/* ---- the windows ---- */

/* What follows the name of the place: places of one stream share it. */
static const char *body_of(const struct window *window)
{
	return window->sentence.words + strlen(window->reading->location->name);
}

static const char *names_alike(struct page *page, const struct overstripping *all, size_t first)
{
	const char *names = all->sweeps[first].window->reading->location->name;
	for (size_t i = first + 1; i < all->sweep_count; i++)
		if (strcmp(body_of(all->sweeps[i].window), body_of(all->sweeps[first].window)) == 0)
			names = arena_format(
				page->arena, "%s, %s", names, all->sweeps[i].window->reading->location->name);
	return names;
}

static bool seen_before(const struct overstripping *all, size_t at)
{
	for (size_t i = 0; i < at; i++)
		if (strcmp(body_of(all->sweeps[i].window), body_of(all->sweeps[at].window)) == 0)
			return true;
	return false;
}

static void add_window_row(struct page *page, xmlNode *body, const struct window *window, const char *names)
{
	xmlNode *row = html_add(body, "tr", NULL);
	xmlNode *place = page_row_head(row, NULL);
	html_name(place, names);
	page_cell(row, page_shown(page, window->reading->solution.input.temperature - ZERO_CELSIUS, "1"));
	html_name(html_add(row, "td", NULL), page_case_name(page, window->reading->operating_case));
	html_add_text(html_add(row, "td", NULL), "b", NULL, window_word(window->governing.answer));
	page_cell(row,
		arena_format(page->arena, "%s%s", page_shown(page, window->ceiling, "3 digits"),
			window->by_specification ? "" : " (end of the sweep)"));
	page_cell(row,
		isnan(window->governing.least_loading) ? "not determinable"
						       : page_shown(page, window->governing.least_loading, "3 digits"));
	for (size_t i = 0; i < FILM_AGES; i++)
		page_cell(row,
			arena_format(page->arena, "%s (%s)", page_shown(page, window->ages[i].dense, "2"),
				page_shown(page, window->ages[i].dense_faster, "2")));
}

void page_windows(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"Place", "degC", "Hottest case",
		"Can an allowed loading form a dense scale?", "Largest allowed, mol/mol", "Least for a dense scale",
		"500 h", "2,000 h", "8,000 h", "25,000 h", NULL};
	const struct overstripping *all = page->review->lean_side->overstripping;
	if (!all->sweep_count)
		return;
	html_add_text(section, "h3", NULL, "The film window at every lean location");
	xmlNode *body = page_rows(section, "scales windows",
		"Fraction of dense sulfide at the largest allowed lean H2S loading, by age of the film; in brackets "
		"with rates ten times faster",
		columns);
	for (size_t i = 0; i < all->sweep_count; i++)
		if (!seen_before(all, i))
			add_window_row(page, body, all->sweeps[i].window, names_alike(page, all, i));
}

void page_window_details(struct page *page, xmlNode *section)
{
	const struct overstripping *all = page->review->lean_side->overstripping;
	if (!all->sweep_count)
		return;
	html_add_text(section, "h3", NULL, "The film window in words");
	for (size_t i = 0; i < all->sweep_count; i++) {
		if (seen_before(all, i))
			continue;
		xmlNode *said = html_add(section, "p", "window");
		html_name(said,
			arena_format(page->arena, "%s%s", names_alike(page, all, i), body_of(all->sweeps[i].window)));
	}
	for (size_t i = 0; i < all->allowance_count; i++)
		if (all->allowances[i].missing.reason) {
			xmlNode *missing = html_add_text(section, "p", "aside", "Largest allowed loading, case ");
			html_name(missing, page_case_title(page, all->allowances[i].operating_case));
			html_say(missing, ": not known, because ");
			html_name(missing, all->allowances[i].missing.reason);
			html_say(missing, ".");
		}
}

static void add_sweep_row(
	struct page *page, xmlNode *body, const struct sweep *const *curves, size_t count, size_t node)
{
	xmlNode *row = html_add(body, "tr", NULL);
	html_set(html_add_text(row, "th", NULL, number_show(page->arena, curves[0]->loading[node])), "scope", "row");
	for (size_t i = 0; i < count; i++) {
		enum scale scale = curves[i]->scale[node];
		bool sulfide = scale == SCALE_MACKINAWITE || scale == SCALE_DENSE;
		page_cell(row,
			sulfide ? page_shown(page, fractions_dense(curves[i]->governing[node]), "2")
				: scale_word(scale));
	}
}

void page_loading_sweep(struct page *page, xmlNode *section)
{
	const struct sweep **curves;
	if (!sweep_curves(page, &curves))
		return;
	html_add_text(section, "h3", NULL, "Sweep of the lean loading");
	figure_sweep(page, section);
}

void page_sweep_table(struct page *page, xmlNode *section)
{
	enum { MOST = 8, EVERY = 5 };
	const struct sweep **curves;
	size_t count = sweep_curves(page, &curves);
	if (!count)
		return;
	html_add_text(section, "h3", NULL, "The sweep of the lean loading in figures");
	if (count > MOST)
		html_add_text(section, "p", NULL,
			arena_format(
				page->arena, "The table shows the first %d of %zu temperatures.", (int)MOST, count));
	count = count < MOST ? count : MOST;
	const char **columns = arena_alloc(page->arena, (MOST + 2) * sizeof *columns);
	columns[0] = "H2S, mol/mol";
	for (size_t i = 0; i < count; i++)
		columns[i + 1] = arena_format(page->arena, "%.1f degC",
			curves[i]->window->reading->solution.input.temperature - ZERO_CELSIUS);
	xmlNode *body = page_rows(section, "scales narrow",
		"Fraction of dense sulfide against the lean H2S loading; a word where no sulfide is stable; every "
		"fifth loading, all are in the record",
		columns);
	for (size_t k = 0; k < SWEEP_NODES; k += EVERY)
		add_sweep_row(page, body, curves, count, k);
}
