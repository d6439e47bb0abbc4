/* The lean-side sulfide analysis: the over-stripping question, which scale where, the exchanger, iron and solids. */
#include "write/write_html.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "chemistry/constants.h"
#include "record/scale_groups.h"
#include "sulfide/lean_side.h"
#include "write/figure.h"

static const double hour = 3600, kilo = 1e3, milligrams = 1e6;

/* ---- which scale where ---- */

static void add_case_head(struct page *page, xmlNode *body, int operating_case, size_t columns)
{
	xmlNode *head = html_add(html_add(body, "tr", "case"), "th", NULL);
	html_set(head, "colspan", arena_format(page->arena, "%zu", columns));
	html_set(head, "scope", "rowgroup");
	html_name(head, page_case_title(page, operating_case));
}

static void add_place(struct page *page, xmlNode *row, const struct scale_group *group)
{
	html_add_text(row, "td", NULL, arena_format(page->arena, "%d", group->number));
	xmlNode *place = page_row_head(row, NULL);
	html_name(place, group->names);
}

static void add_state_row(struct page *page, xmlNode *body, const struct scale_group *group)
{
	const struct reading_at *reading = group->reading;
	const struct solution *s = &reading->solution;
	double hs = s->molality[SPECIES_HS];
	bool pressure = is_number(reading->pressure.quantity);
	xmlNode *row = html_add(body, "tr", NULL);
	add_place(page, row, group);
	page_cell(row, reading->location->side == SIDE_LEAN ? "lean" : "rich");
	page_cell(row, page_shown(page, s->input.temperature - ZERO_CELSIUS, "1"));
	page_cell(row, pressure ? page_shown(page, reading->pressure.quantity->si / kilo, "0") : "-");
	page_cell(row,
		arena_format(page->arena, "%s + %s", number_show(page->arena, s->loading[GAS_H2S]),
			number_show(page->arena, s->loading[GAS_CO2])));
	page_cell(row, page_shown(page, s->ph, "2"));
	page_cell(row, page_shown(page, s->partial_pressure[GAS_H2S] / kilo, "3 digits"));
	page_cell(row, page_shown(page, s->molality[SPECIES_H2S], "3 digits"));
	page_cell(row, hs > 0 ? page_shown(page, s->molality[SPECIES_HCO3] / hs, "3 digits") : "no HS-");
	page_cell(row, page_shown(page, reading->tendency, "1"));
}

static const char *split(struct page *page, struct fractions f)
{
	return arena_format(page->arena, "%.2f / %.2f / %.2f", f.mackinawite, f.pyrrhotite, f.pyrite);
}

static void add_scale_row(struct page *page, xmlNode *body, const struct scale_group *group)
{
	const struct reading_at *reading = group->reading;
	const struct scale_answer *answer = &reading->answer;
	bool sulfide = answer->scale == SCALE_MACKINAWITE || answer->scale == SCALE_DENSE;
	xmlNode *row = html_add(body, "tr", NULL);
	add_place(page, row, group);
	html_add_text(html_add(row, "td", NULL), "b", NULL, scale_word(answer->scale));
	page_cell(row, sulfide ? split(page, answer->fractions) : "-");
	page_cell(row,
		group->shares && group->shares->samples
			? arena_format(page->arena, "%.0f %%", 100 * group->shares->share[answer->scale])
			: "not sampled");
	html_add_text(html_add(row, "td", NULL), "b", NULL, barrier_word(answer->barrier));
	page_cell(row, confidence_word(answer->confidence));
	page_cell(row, scale_word(answer->by_temperature));
	html_name(html_add(row, "td", NULL), reading->age.words);
	struct text ages = text_in(page->arena);
	for (size_t i = 0; i < FILM_AGES; i++)
		text_addf(&ages, "%s%.2f", i ? " " : "", fractions_dense(reading->by_age[i].fractions));
	page_cell(row, sulfide ? ages.data : "-");
}

/* Of a later case only what differs from the first. */
static void add_places(struct page *page, xmlNode *table, size_t columns,
	void (*add)(struct page *, xmlNode *, const struct scale_group *))
{
	const struct lean_side *all = page->review->lean_side;
	for (size_t c = 0; c < all->circuit->case_count; c++) {
		struct scale_groups groups = scale_groups_of(page->arena, all, c);
		xmlNode *body = NULL;
		for (size_t i = 0; i < groups.count; i++) {
			if (groups.rows[i].as_first_case)
				continue;
			if (!body) {
				body = html_add(table, "tbody", NULL);
				add_case_head(page, body, all->circuit->cases[c], columns);
			}
			add(page, body, &groups.rows[i]);
		}
	}
}

static void add_missing(struct page *page, xmlNode *section)
{
	const struct circuit *circuit = page->review->lean_side->circuit;
	xmlNode *list = NULL;
	for (size_t i = 0; i < circuit->reading_count; i++) {
		const struct reading_at *reading = &circuit->readings[i];
		bool told = i % circuit->case_count > 0 && circuit->readings[i - 1].missing.reason &&
			text_same(circuit->readings[i - 1].missing.reason, reading->missing.reason);
		if (!reading->missing.reason || told)
			continue;
		if (!list) {
			html_add_text(section, "h4", NULL, "Locations that could not be calculated");
			list = html_add(section, "ul", NULL);
		}
		xmlNode *entry = html_add(list, "li", NULL);
		html_name(entry, reading->location->name);
		html_say(entry, ": ");
		html_name(entry, reading->missing.reason);
	}
}

static void add_circuit(struct page *page, xmlNode *section)
{
	static const char *const states[] = {"", "Place", "Side", "degC", "kPa", "H2S + CO2, mol/mol", "pH",
		"pH2S, kPa", "H2S(aq), mol/kg", "HCO3-/HS-", "FeS tendency", NULL};
	static const char *const scales[] = {"", "Place", "Expected scale", "Mackinawite / pyrrhotite / pyrite",
		"Agreement of samples", "Barrier", "Confidence", "By temperature alone", "Film age",
		"Dense fraction at 500, 2,000, 8,000, 25,000 h", NULL};
	const struct circuit *circuit = page->review->lean_side->circuit;
	html_add_text(section, "h3", NULL, "Expected scale by location, in the order of flow");
	if (!circuit->location_count) {
		html_add_text(section, "p", NULL, "The description names no location in lean or rich amine.");
		return;
	}
	html_add_text(section, "p", NULL,
		"Locations in the same state share a row. Later cases list only what differs from the first. The "
		"headline is "
		"mackinawite (loose), dense (pyrrhotite or pyrite), siderite or none; the split of the dense part is "
		"of low "
		"confidence. Barrier: never more than doubtful on the lean side.");
	add_places(page, page_table(section, "scales numbered", "The solution at every location", states), 11,
		add_state_row);
	add_places(page, page_table(section, "scales numbered", "The iron scale to expect on carbon steel", scales), 10,
		add_scale_row);
	add_missing(page, section);
	figure_phase_map(page, section);
}

static void add_map_table(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {
		"degC", "Dense from, kPa", "Pyrite from, kPa", "Calibrated from, kPa", NULL};
	enum { EVERY = 10 };
	const struct phase_map *map = &page->review->lean_side->map;
	xmlNode *body = page_rows(section, "scales narrow", "Borders of the phase map; -: beyond 1,000 kPa", columns);
	for (size_t i = 0; i < PHASE_MAP_NODES; i += EVERY) {
		const struct phase_border *border = &map->borders[i];
		xmlNode *row = html_add(body, "tr", NULL);
		html_set(html_add_text(row, "th", NULL, page_shown(page, border->temperature - ZERO_CELSIUS, "1")),
			"scope", "row");
		page_cell(row,
			border->dense > map->least * 1.001 ? page_shown(page, border->dense / kilo, "3 digits")
				: isnan(border->dense)	   ? "-"
							   : "below 0.0001");
		page_cell(row, page_shown(page, border->pyrite / kilo, "3 digits"));
		page_cell(row, page_shown(page, border->calibrated / kilo, "3 digits"));
	}
}

/* The rich side hot and rich in H2S against what practitioners see: the model and practice do not agree. */
static void add_disagreement(xmlNode *section)
{
	html_add_text(section, "p", NULL,
		"Known disagreement: at equal age the model makes the hot rich side more pyritic than the hot lean "
		"inlet; "
		"practitioners report pyrrhotite on the hot rich side, and in an exchanger pyrite at the hot lean "
		"inlet, pyrrhotite "
		"in the middle and loose mackinawite at the cold lean outlet (common practice, no source). That is why "
		"the headline does not separate pyrrhotite from pyrite. At equilibrium mackinawite is only about one "
		"and a half times "
		"as soluble as "
		"pyrrhotite: it is soft and washed off because of its texture and rate of formation, not its "
		"solubility.");
}

/* ---- the exchanger ---- */

static void add_slices(struct page *page, xmlNode *section, const struct profile_of *profile)
{
	static const char *const columns[] = {"Duty transferred", "Lean, degC", "Lean scale", "Dense fraction",
		"Lean tendency", "Wall, degC", "Rich, degC", "Rich scale", "Dense fraction", "Rich tendency",
		"Rich flashes", NULL};
	enum { EVERY = 4 };
	xmlNode *body = page_rows(section, "scales",
		arena_format(page->arena, "%s, case %s: every fourth of %d slices; all are in the record",
			profile->exchanger->tag, page_case_title(page, profile->operating_case), EXCHANGER_SLICES),
		columns);
	for (size_t i = 0; i < EXCHANGER_NODES; i += EVERY) {
		const struct slice *slice = &profile->slices[i];
		const struct slice_side *sides_of[] = {&slice->lean, &slice->rich};
		xmlNode *row = html_add(body, "tr", NULL);
		html_set(html_add_text(row, "th", NULL, page_shown(page, slice->duty, "3")), "scope", "row");
		for (size_t k = 0; k < 2; k++) {
			if (k)
				page_cell(row, page_shown(page, slice->wall - ZERO_CELSIUS, "1"));
			page_cell(row, page_shown(page, sides_of[k]->temperature - ZERO_CELSIUS, "1"));
			page_cell(row, scale_word(sides_of[k]->answer.scale));
			page_cell(row, page_shown(page, fractions_dense(sides_of[k]->answer.fractions), "2"));
			page_cell(row, page_shown(page, sides_of[k]->tendency, "1"));
		}
		page_cell(row, !profile->pressure_known ? "not known" : slice->flashes ? "yes" : "no");
	}
}

/* The case with the hottest lean inlet is drawn; the others are in the record. */
static bool hottest_of_its_exchanger(const struct exchangers *all, size_t at)
{
	const struct profile_of *profile = &all->profiles[at];
	for (size_t i = 0; i < all->count; i++) {
		const struct profile_of *other = &all->profiles[i];
		if (i == at || other->exchanger != profile->exchanger || other->missing.reason)
			continue;
		double t = other->slices[0].lean.temperature, mine = profile->slices[0].lean.temperature;
		if (t > mine || (!(t < mine) && i < at))
			return false;
	}
	return true;
}

static void add_exchangers(struct page *page, xmlNode *section)
{
	const struct exchangers *all = &page->review->lean_side->exchangers;
	html_add_text(section, "h3", NULL, "Inside the lean/rich exchanger");
	if (!all->count)
		html_add_text(
			section, "p", NULL, "No exchanger with a lean and a rich side is described by its streams.");
	for (size_t i = 0; i < all->count; i++) {
		const struct profile_of *profile = &all->profiles[i];
		if (profile->missing.reason) {
			xmlNode *missing = html_add(section, "p", NULL);
			html_name(missing, profile->exchanger->tag);
			html_say(missing, ", case ");
			html_name(missing, page_case_title(page, profile->operating_case));
			html_say(missing, ": no profile, because ");
			html_name(missing, profile->missing.reason);
			html_say(missing, ".");
		} else if (hottest_of_its_exchanger(all, i)) {
			figure_profile(page, section, profile);
			add_slices(page, section, profile);
		}
	}
}

/* ---- iron, carbonate ---- */

static void add_iron(struct page *page, xmlNode *section)
{
	const struct lean_side *all = page->review->lean_side;
	const struct iron_balance *iron = &all->iron;
	html_add_text(section, "h3", NULL, "Iron, solids and filters");
	if (iron->missing.reason)
		html_add_text(section, "p", NULL,
			"Dissolved iron is not stated. Where a solid is stable was judged with 1 mg/kg of iron at the "
			"wall, from "
			"corrosion: an assumption.");
	else
		html_add_text(section, "p", NULL,
			arena_format(page->arena,
				"The solution holds %s mg/kg of iron; FeS(aq) leaves about %s mg/kg dissolved at amine "
				"pH (Rickard "
				"2006, from memory). The other %s mg/kg are colloidal iron sulfide or bound by "
				"chelating anions.",
				page_shown(page, iron->stated * milligrams, "3 digits"),
				page_shown(page, iron->floor * milligrams, "3 digits"),
				page_shown(page, iron->particles * milligrams, "3 digits")));
	if (!iron->missing.reason && isfinite(iron->circulating))
		html_add_text(section, "p", NULL,
			arena_format(page->arena,
				"Were all of it particles, %s kg/h of iron sulfide would pass with the %s t/h of %s.",
				page_shown(page, iron->circulating * hour, "3 digits"),
				page_shown(page, iron->flow * hour / kilo, "3 digits"), iron->stream->tag));
	html_add_text(section, "p", NULL,
		all->cold_end_fouls ? "Fouling is expected at the cold lean end: the scale there is loose "
				      "mackinawite, which is washed off, "
				      "blackens filters and, bound by antifoam, hydrocarbon or degradation products, "
				      "forms black paste (common practice, no source)."
				    : "Nothing computed here points to loose sulfide at the cold lean end.");
	html_add_text(section, "p", NULL,
		"Where the lean loading is low and the reboiler corrodes, check first whether acid gas is stripped in "
		"the reboiler rather than in the tower.");
}

static bool has_siderite(const struct circuit *circuit)
{
	for (size_t i = 0; i < circuit->reading_count; i++)
		if (!circuit->readings[i].missing.reason && circuit->readings[i].answer.scale == SCALE_SIDERITE)
			return true;
	return false;
}

static void add_activated(struct page *page, xmlNode *section)
{
	if (page->review->lean_side->circuit->activated)
		html_add_text(section, "p", "aside",
			"The solution is activated (piperazine), which the chemistry does not include: CO2 and "
			"carbonate are not judged.");
}

static void add_siderite_row(struct page *page, xmlNode *body, const struct scale_group *group)
{
	const struct scale_answer *answer = &group->reading->answer;
	xmlNode *row = html_add(body, "tr", NULL);
	add_place(page, row, group);
	page_cell(row, page_shown(page, group->reading->solution.input.temperature - ZERO_CELSIUS, "1"));
	page_cell(row, page_shown(page, answer->saturation_carbonate * milligrams, "3 digits"));
	page_cell(row,
		isfinite(answer->saturation_sulfide)
			? page_shown(page, answer->saturation_sulfide * milligrams, "3 digits")
			: "no HS-");
	page_cell(row, scale_word(answer->scale));
}

static void add_carbonate(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"", "Place", "degC", "Iron over siderite, mg/kg",
		"Iron over mackinawite, mg/kg", "Expected scale", NULL};
	const struct lean_side *all = page->review->lean_side;
	html_add_text(section, "h3", NULL, "Sulfide or carbonate");
	html_add_text(section, "p", NULL,
		has_siderite(all->circuit)
			? "At some locations carbonate replaces sulfide. Siderite is stable nearly everywhere in "
			  "loaded amine (its iron is a small fraction of a milligram per kilogram), but is not a "
			  "barrier. "
			  "For carbon "
			  "steel that means corrosion without a sulfide scale: units with CO2 only corroded most in a "
			  "published review of more than 120, and iron rose to several hundred mg/L in DEA; a sulfide "
			  "scale on the rich side needs H2S of at least about one twentieth of the CO2 (from memory)."
			: "Sulfide is more stable than carbonate at every location calculated. Siderite could be "
			  "stable by its own saturation nearly everywhere, but is not a barrier.");
	add_places(page,
		page_table(section, "scales numbered", "Iron in equilibrium (activity coefficient of Fe2+ taken as 1)",
			columns),
		6, add_siderite_row);
	add_activated(page, section);
}

/* ---- a unit without H2S ---- */

static void add_sweet_row(struct page *page, xmlNode *body, const struct scale_group *group)
{
	const struct scale_answer *answer = &group->reading->answer;
	const struct solution *s = &group->reading->solution;
	xmlNode *row = html_add(body, "tr", NULL);
	add_place(page, row, group);
	page_cell(row, group->reading->location->side == SIDE_LEAN ? "lean" : "rich");
	page_cell(row, page_shown(page, s->input.temperature - ZERO_CELSIUS, "1"));
	page_cell(row, number_show(page->arena, s->loading[GAS_CO2]));
	page_cell(row, page_shown(page, s->ph, "2"));
	page_cell(row, page_shown(page, answer->saturation_carbonate * milligrams, "3 digits"));
	page_cell(row, scale_word(answer->scale));
}

/* What is left of the analysis where nothing holds H2S: siderite. */
static void page_siderite(struct page *page)
{
	static const char *const columns[] = {
		"", "Place", "Side", "degC", "CO2, mol/mol", "pH", "Iron over siderite, mg/kg", "Expected scale", NULL};
	enum { COLUMNS = sizeof columns / sizeof *columns - 1 };
	xmlNode *section = page_section(page, "sulfide", "Iron carbonate on carbon steel");
	page_overstripping(page, section);
	html_add_text(section, "p", NULL,
		"Siderite is stable nearly everywhere in loaded amine: its iron is a small fraction of a milligram per "
		"kilogram. Steel still corrodes beneath it: units with CO2 only corroded most in a published review of "
		"more than 120, and iron rose to several hundred mg/L in DEA. Hot and rich carbon steel is a matter of "
		"alloy, loading and velocity.");
	page_film_claims(page, section);
	if (page->review->lean_side->circuit->location_count)
		add_places(page,
			page_table(section, "scales numbered",
				"Iron in equilibrium (activity coefficient of Fe2+ taken as 1)", columns),
			COLUMNS, add_sweet_row);
	add_missing(page, section);
	add_activated(page, section);
}

void page_sulfide(struct page *page)
{
	if (page->review->lean_side->circuit->sweet) {
		page_siderite(page);
		return;
	}
	xmlNode *section = page_section(page, "sulfide", "Lean-side sulfide analysis");
	html_add_text(section, "h3", NULL, "Does H2S left in the lean amine protect carbon steel here?");
	page_overstripping(page, section);
	if (page->review->lean_side->circuit->no_data)
		html_add_text(section, "p", "aside",
			arena_format(page->arena, "Every figure of this chapter is an estimate: %s.",
				page->review->lean_side->circuit->no_data));
	page_film_claims(page, section);
	page_windows(page, section);
	page_loading_sweep(page, section);
}

void page_sulfide_details(struct page *page)
{
	if (page->review->lean_side->circuit->sweet)
		return;
	xmlNode *section = page_section(page, "sulfide-details", "The sulfide analysis by location");
	page_dispute(page, section);
	page_window_details(page, section);
	page_sweep_table(page, section);
	add_circuit(page, section);
	add_map_table(page, section);
	add_disagreement(section);
	add_exchangers(page, section);
	add_iron(page, section);
	add_carbonate(page, section);
}
