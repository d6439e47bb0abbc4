#include "sulfide/overstripping_words.h"

#include <math.h>

#include "chemistry/constants.h"

static const double hour = 3600, per_million = 1e6;

static void say_ceiling(struct sentence_builder *builder, const struct window *window)
{
	struct arena *arena = builder->text.arena;
	const struct allowance *allowance = window->allowance;
	sentence_figure(builder, "largest_loading_mol_mol", window->ceiling, KIND_LOADING, "mol/mol");
	if (!window->by_specification) {
		sentence_say(builder,
			arena_format(arena, " (the end of the sweep, because %s)",
				allowance ? allowance->missing.reason : "no absorber is described"));
		return;
	}
	sentence_say(builder, ", the most that ");
	double ppmv = allowance->specified * per_million;
	sentence_number(builder, "specified_ppmv", ppmv, fabs(ppmv - round(ppmv)) < 1e-6 * ppmv ? 0 : 1, " ppmv");
	sentence_say(builder, arena_format(arena, " in the gas of %s allows", allowance->absorber->tag));
}

static void say_no(struct sentence_builder *builder, const struct window *window)
{
	sentence_say(builder, "leaving H2S in cannot protect this place: at ");
	sentence_number(
		builder, "temperature_degC", window->reading->solution.input.temperature - ZERO_CELSIUS, 1, " degC");
	sentence_say(builder, " every lean loading up to ");
	say_ceiling(builder, window);
	sentence_say(builder, ", leaves loose mackinawite at best (fraction of dense sulfide ");
	sentence_number(builder, "dense_share", window->governing.dense, 2, "");
	sentence_say(builder, " after ");
	sentence_number(builder, "film_age_h", window->governing.age / hour, 0, " h");
	sentence_say(builder, ", ");
	sentence_number(builder, "dense_share_ten_times_faster", window->governing.dense_faster, 2, "");
	sentence_say(builder, " with rates ten times faster).");
}

static void say_not_determinable(struct sentence_builder *builder, const struct window *window)
{
	sentence_say(builder, "whether leaving H2S in helps here is not determinable: at ");
	sentence_number(
		builder, "temperature_degC", window->reading->solution.input.temperature - ZERO_CELSIUS, 1, " degC");
	sentence_say(builder, " and ");
	say_ceiling(builder, window);
	sentence_say(builder, ", the formula gives a fraction of dense sulfide of ");
	sentence_number(builder, "dense_share", window->governing.dense, 2, "");
	sentence_say(builder, " after ");
	sentence_number(builder, "film_age_h", window->governing.age / hour, 0, " h");
	sentence_say(builder, " (");
	sentence_number(builder, "dense_share_ten_times_faster", window->governing.dense_faster, 2, "");
	sentence_say(builder, " with rates ten times faster)");
	if (window->h2s_at_ceiling < CALIBRATED_LEAST_H2S) {
		sentence_say(builder, ", but it is calibrated from ");
		sentence_number(builder, "calibrated_h2s_mol_kg", CALIBRATED_LEAST_H2S, 4, " mol/kg");
		sentence_say(builder, " of molecular H2S, and here there are only ");
		sentence_number(builder, "h2s_aq_mol_kg", window->h2s_at_ceiling, 6, " mol/kg");
	} else if (!isnan(window->governing.least_loading)) {
		sentence_say(builder, ", reaching one half at ");
		sentence_figure(
			builder, "least_loading_mol_mol", window->governing.least_loading, KIND_LOADING, "mol/mol");
		sentence_say(builder, " on, and a dense scale is no proof of protection");
	}
	sentence_say(builder,
		". Hot lean carbon steel is judged by temperature, contaminants, velocity, stripping in the "
		"regenerator, and alloy.");
}

void overstripping_say_window(struct arena *arena, struct window *window)
{
	struct sentence_builder builder = sentence_in(arena);
	sentence_say(&builder, arena_format(arena, "%s: ", window->reading->location->name));
	if (window->governing.answer == NO)
		say_no(&builder, window);
	else
		say_not_determinable(&builder, window);
	window->sentence = sentence_end(&builder);
}

/* ---- the answers for the unit ---- */

/* All windows of one answer together. */
struct together {
	size_t count;
	double coldest, hottest, largest_h2s, largest_dense;
	const struct window *highest; /* ceiling */
};

static struct together together(const struct overstripping *out, enum truth answer)
{
	struct together all = {.coldest = (double)INFINITY};
	for (size_t i = 0; i < out->window_count; i++) {
		const struct window *window = &out->windows[i];
		double t = window->reading->solution.input.temperature;
		if (window->governing.answer != answer)
			continue;
		all.count++;
		all.coldest = fmin(all.coldest, t);
		all.hottest = fmax(all.hottest, t);
		all.largest_h2s = fmax(all.largest_h2s, window->h2s_at_ceiling);
		all.largest_dense = fmax(all.largest_dense, window->governing.dense);
		if (!all.highest || window->ceiling > all.highest->ceiling)
			all.highest = window;
	}
	return all;
}

static void say_temperatures(struct sentence_builder *builder, const struct together *all)
{
	if (all->hottest - all->coldest > 0.05) {
		sentence_number(builder, "coldest_degC", all->coldest - ZERO_CELSIUS, 1, "");
		sentence_say(builder, " to ");
	}
	sentence_number(builder, "hottest_degC", all->hottest - ZERO_CELSIUS, 1, " degC");
}

static void add_answer(struct overstripping *out, struct sentence_builder *builder)
{
	out->answers[out->answer_count++] = sentence_end(builder);
}

static void say_cold(struct arena *arena, struct overstripping *out)
{
	struct together cold = together(out, NO);
	struct sentence_builder builder = sentence_in(arena);
	if (!cold.count)
		return;
	sentence_say(&builder, "Leaving H2S in the lean amine cannot protect the cold side here: at ");
	say_temperatures(&builder, &cold);
	sentence_say(&builder, " any lean loading up to ");
	say_ceiling(&builder, cold.highest);
	sentence_say(&builder, ", forms loose mackinawite at best (fraction of dense sulfide at most ");
	sentence_number(&builder, "dense_share", cold.largest_dense, 2, "");
	sentence_say(&builder, ").");
	add_answer(out, &builder);
}

static void say_hot(struct arena *arena, struct overstripping *out)
{
	struct together hot = together(out, PERHAPS);
	struct sentence_builder builder = sentence_in(arena);
	if (!hot.count)
		return;
	sentence_say(&builder, "On the warm and hot lean side, at ");
	say_temperatures(&builder, &hot);
	sentence_say(&builder, ", it is not determinable whether residual H2S forms a protective scale: at ");
	say_ceiling(&builder, hot.highest);
	sentence_say(&builder, ", molecular H2S reaches at most ");
	sentence_number(&builder, "h2s_aq_mol_kg", hot.largest_h2s, 6, " mol/kg");
	sentence_say(&builder, ", and the kinetics are calibrated from ");
	sentence_number(&builder, "calibrated_h2s_mol_kg", CALIBRATED_LEAST_H2S, 4, " mol/kg up.");
	add_answer(out, &builder);
}

static void say_plain(struct arena *arena, struct overstripping *out, const char *words)
{
	struct sentence_builder builder = sentence_in(arena);
	sentence_say(&builder, words);
	add_answer(out, &builder);
}

void overstripping_say_answers(struct arena *arena, const struct circuit *circuit, struct overstripping *out)
{
	if (circuit->sweet) {
		say_plain(arena, out,
			"The unit holds no H2S: the only scale possible on carbon steel in its amine is iron carbonate "
			"(siderite), which is no barrier there.");
		return;
	}
	if (circuit->no_data) {
		say_plain(arena, out,
			arena_format(arena,
				"The over-stripping question is not answered for this unit: %s. What follows are "
				"estimates for each location, without a headline.",
				circuit->no_data));
		return;
	}
	say_cold(arena, out);
	say_hot(arena, out);
	if (!circuit->case_count)
		say_plain(arena, out,
			"The over-stripping question cannot be answered for this unit: every operating case is an "
			"upset, none is steady.");
	else if (!out->window_count)
		say_plain(arena, out,
			"The over-stripping question cannot be answered for this unit: no lean location has its "
			"temperature, loadings and solution stated.");
	else
		say_plain(arena, out,
			"This analysis requires no minimum lean H2S loading at any location. Published guidance "
			"disagrees; both sides are printed in the lean-side sulfide analysis.");
}

/* ---- claims ---- */

static void say_claimed(struct sentence_builder *builder, const struct film_claim *claim)
{
	if (isnan(claim->claimed))
		return;
	sentence_say(builder, " of at least ");
	sentence_figure(builder, "claimed_mol_mol", claim->claimed, KIND_LOADING, "mol/mol");
}

static void say_over(struct sentence_builder *builder, const struct film_claim *claim)
{
	struct arena *arena = builder->text.arena;
	if (!claim->allowance || claim->allowance->missing.reason || isnan(claim->over_allowed))
		return;
	sentence_say(builder, "; it would give ");
	sentence_figure(builder, "over_specification", claim->over_allowed, KIND_RATIO, "");
	sentence_say(builder,
		arena_format(arena, " times the specified H2S at the top of %s", claim->allowance->absorber->tag));
}

void overstripping_say_claim(struct arena *arena, const struct overstripping *out, struct film_claim *claim)
{
	struct together cold = together(out, NO), hot = together(out, PERHAPS);
	struct sentence_builder builder = sentence_in(arena);
	sentence_say(&builder, "A minimum lean H2S loading");
	say_claimed(&builder, claim);
	if (out->sweet) {
		sentence_say(&builder, " maintains no film: no gas and no stream of the unit holds H2S");
	} else if (cold.count) {
		sentence_say(&builder, " does not protect the cold side: at ");
		say_temperatures(&builder, &cold);
		sentence_say(&builder, " no lean loading up to ");
		say_ceiling(&builder, cold.highest);
		sentence_say(&builder, ", gives a barrier there (fraction of dense sulfide at most ");
		sentence_number(&builder, "dense_share", cold.largest_dense, 2, "");
		sentence_say(&builder, ")");
		say_over(&builder, claim);
	} else if (hot.count) {
		sentence_say(&builder, " cannot be shown to maintain a film: at ");
		say_temperatures(&builder, &hot);
		sentence_say(&builder, " the answer is not determinable, because the kinetics are calibrated from ");
		sentence_number(&builder, "calibrated_h2s_mol_kg", CALIBRATED_LEAST_H2S, 4, " mol/kg");
		sentence_say(&builder, " of molecular H2S, and at most ");
		sentence_number(&builder, "h2s_aq_mol_kg", hot.largest_h2s, 6, " mol/kg");
		sentence_say(&builder, " are allowed");
		say_over(&builder, claim);
	} else
		sentence_say(&builder, " cannot be assessed: no sulfide film can be calculated from the description");
	sentence_say(&builder, ".");
	claim->answer = cold.count ? NO : PERHAPS;
	claim->sentence = sentence_end(&builder);
}
