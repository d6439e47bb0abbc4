/*
 * One fact, one verdict: what is stated of an item, of the side, zone, nozzle, weld or elbow that it is true of, or by the
 * cladding there, gives every rule of the catalogue the same verdict at that place. And a value stated where nobody spoke
 * never takes a departure away, unless the rule reads it.
 *
 * The descriptions are made here, from a fixed seed: all values invented. What cannot be equal is in the table of its
 * test with the reason.
 */
#include <criterion/criterion.h>
#include <stdint.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "review_support.h"

enum { LEVELS = 3, FACTS_AT_MOST = 64, RULES_AT_MOST = 400, REVIEWS_IN_AN_ARENA = 60 };

static struct trial trial;
static size_t reviews;

static void begin(void)
{
	trial_open(&trial, NULL);
	reviews = 0;
	cr_assert(trial.catalogue->rule_count <= RULES_AT_MOST);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(place, .init = begin, .fini = end);

/* ---- chance, the same every time ---- */

static uint64_t seed = 20260115;

static size_t chance(size_t below)
{
	seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
	return below ? (size_t)(seed >> 33) % below : 0;
}

/* ---- facts ---- */

struct fact {
	const char *name, *values[4];
};

/* Of groups that are handed down: of any item of metal and of any part of it. */
static const struct fact handed_down[] = {
	{"material", {"carbon steel", "low-alloy steel", "316L", "2205"}},
	{"cladding", {"none", "316L", "410S", "titanium"}},
	{"cladding-type", {"clad", "overlay", "lined", "clad"}},
	{"grade", {"A516 Gr.70", "A106 Gr.B", "A240", "A516 Gr.60"}},
	{"seamless", {"yes", "no", "yes", "no"}},
	{"carbon-content", {"0.2 wt%", "0.03 wt%", "0.08 wt%", "0.3 wt%"}},
	{"sulfur-content", {"0.001 wt%", "0.003 wt%", "0.01 wt%", "0.03 wt%"}},
	{"phosphorus-content", {"0.01 wt%", "0.025 wt%", "0.03 wt%", "0.005 wt%"}},
	{"carbon-equivalent", {"0.4 wt%", "0.45 wt%", "0.5 wt%", "0.36 wt%"}},
	{"yield-strength", {"260 MPa", "380 MPa", "450 MPa", "240 MPa"}},
	{"normalised", {"yes", "no", "yes", "no"}},
	{"calcium-treated", {"yes", "no", "yes", "no"}},
	{"hic-tested", {"yes", "no", "yes", "no"}},
	{"clr", {"5 %", "20 %", "15 %", "1 %"}},
	{"ctr", {"1 %", "6 %", "3 %", "2 %"}},
	{"csr", {"1 %", "3 %", "0.5 %", "2 %"}},
	{"corrosion-allowance", {"0 mm", "1 mm", "3 mm", "6 mm"}},
	{"year-built", {"1968", "1985", "2004", "2025"}},
	{"external-coating", {"yes", "no", "yes", "no"}},
	{"pwht", {"yes", "no", "yes", "no"}},
	{"pwht-temperature", {"593 degC", "620 degC", "635 degC", "650 degC"}},
	{"pwht-hold", {"20 min", "60 min", "90 min", "2 h"}},
	{"pwht-covers-all", {"yes", "no", "yes", "no"}},
	{"temperature", {"38 degC", "72 degC", "96 degC", "128 degC"}},
	{"pressure", {"0.8 barg", "5 barg", "40 barg", "70 barg"}},
	{"design-temperature", {"60 degC", "110 degC", "150 degC", "200 degC"}},
	{"design-pressure", {"3.5 barg", "10 barg", "18 barg", "80 barg"}},
	{"test-pressure", {"5 barg", "15 barg", "27 barg", "120 barg"}},
	{"minimum-design-temperature", {"-46 degC", "-29 degC", "-10 degC", "0 degC"}},
	{"depressuring-temperature", {"-50 degC", "-30 degC", "-20 degC", "5 degC"}},
	{"upset-temperature", {"60 degC", "100 degC", "135 degC", "160 degC"}},
	{"steamed-out", {"yes", "no", "yes", "no"}},
	{"steam-out-temperature", {"105 degC", "120 degC", "145 degC", "160 degC"}},
	{"washed-before-steam-out", {"yes", "no", "yes", "no"}},
	{"traced", {"yes", "no", "yes", "no"}},
	{"tracing-temperature", {"50 degC", "90 degC", "150 degC", "180 degC"}},
	{"insulated", {"yes", "no", "yes", "no"}},
	{"vacuum-design", {"yes", "no", "yes", "no"}},
};

/* Found at one weld or wall; nobody hands them down. */
static const struct fact found_there[] = {
	{"hardness-weld", {"180 HBW", "230 HBW", "260 HBW", "290 HBW"}},
	{"hardness-haz", {"220 HV", "260 HV", "300 HV", "247 HV"}},
	{"hardness-base", {"160 HBW", "230 HBW", "250 HBW", "190 HBW"}},
	{"cold-strain", {"2 %", "6 %", "12 %", "5 %"}},
	{"socket-welds", {"yes", "no", "yes", "no"}},
	{"dissimilar-welds", {"yes", "no", "yes", "no"}},
	{"cracks-found", {"yes", "no", "yes", "no"}},
	{"blisters-found", {"yes", "no", "yes", "no"}},
	{"corrosion-rate", {"0.05 mm/y", "0.2 mm/y", "0.4 mm/y", "1 mm/y"}},
};

enum { HANDED_DOWN = COUNT(handed_down), FOUND_THERE = COUNT(found_there) };

/* ---- frames: an item and a place in it, one within the other ---- */

struct frame {
	const char *name;
	const char *open[LEVELS];  /* the tags as far as what is stated of each level comes in */
	const char *close[LEVELS]; /* their ends; "" of one that is beside the next instead of around it */
	const char *place;	   /* the tag of the innermost */
};

static const struct frame frames[] = {
	{"elbow of a rich line",
		{"<line tag='P-1' stream='rich-hot' size='NPS 6' schedule='40'", "<elbow radius='1.0'"},
		{"</line>", "</elbow>"}, "P-1 elbow"},
	{"fitting of a lean line",
		{"<line tag='P-1' stream='lean-hot' size='NPS 4' schedule='40'",
			"<fitting tag='FO-1' type='orifice plate'"},
		{"</line>", "</fitting>"}, "FO-1"},
	{"weld of a line",
		{"<line tag='P-1' stream='rich-cold' size='NPS 6' schedule='40'",
			"<weld name='joint' type='pipe butt'"},
		{"</line>", "</weld>"}, "P-1 weld joint"},
	{"nozzle of an absorber",
		{"<absorber tag='C-1' gas='feed' lean='lean-cold' rich='rich-cold'",
			"<nozzle tag='N-1' stream='rich-cold' size='NPS 6' schedule='40'"},
		{"</absorber>", "</nozzle>"}, "N-1"},
	{"zone of a regenerator", {"<regenerator tag='C-2' feed='rich-hot' lean='lean-hot'", "<zone name='bottom'"},
		{"</regenerator>", "</zone>"}, "C-2 zone bottom"},
	{"nozzle in a zone of a regenerator",
		{"<regenerator tag='C-2' feed='rich-hot' lean='lean-hot'", "<zone name='feed zone'",
			"<nozzle tag='N-2' stream='rich-hot' size='NPS 8' schedule='40'"},
		{"</regenerator>", "</zone>", "</nozzle>"}, "N-2"},
	{"part of a flash drum",
		{"<flash-drum tag='V-1' rich='rich-cold' rich-outlet='rich-cold'", "<part name='boot'"},
		{"</flash-drum>", "</part>"}, "V-1 part boot"},
	{"weld in a zone of a reflux drum",
		{"<reflux-drum tag='V-2' reflux='reflux'", "<zone name='liquid space'",
			"<weld name='seam' type='longitudinal'"},
		{"</reflux-drum>", "</zone>", "</weld>"}, "V-2 weld seam"},
	{"shell of a lean/rich exchanger",
		{"<exchanger tag='E-1' service='lean/rich' type='shell and tube'",
			"<shell-side inlet='lean-hot' outlet='lean-cold'"},
		{"</exchanger>", "</shell-side>"}, "E-1 shell side"},
	{"nozzle of a shell",
		{"<exchanger tag='E-1' service='lean/rich' type='shell and tube'",
			"<shell-side inlet='rich-cold' outlet='rich-hot'",
			"<nozzle tag='N-3' stream='rich-hot' size='NPS 8' schedule='40'"},
		{"</exchanger>", "</shell-side>", "</nozzle>"}, "N-3"},
	{"tubes of a lean/rich exchanger",
		{"<exchanger tag='E-1' service='lean/rich' type='shell and tube'",
			"<tube-side inlet='rich-cold' outlet='rich-hot' tubes='120' passes='4' tube-od='19.05 mm' "
			"tube-wall='2.11 mm'"},
		{"</exchanger>", "</tube-side>"}, "E-1 tube side"},
	{"tubesheet",
		{"<cooler tag='E-2' service='lean' type='shell and tube' cooling-medium='cooling water'",
			"<tube-side inlet='lean-hot' outlet='lean-cold'", "<tubesheet"},
		{"</cooler>", "</tube-side>", "</tubesheet>"}, "E-2 tubesheet"},
	{"tubes of a condenser",
		{"<condenser tag='E-3' type='air cooled' cooling-medium='air' acid-gas='overhead'",
			"<tube-side inlet='overhead'"},
		{"</condenser>", "</tube-side>"}, "E-3 tube side"},
	{"plates",
		{"<exchanger tag='E-1' service='lean/rich' type='plate'",
			"<plate-side inlet='lean-hot' outlet='lean-cold'"},
		{"</exchanger>", "</plate-side>"}, "E-1 plate side"},
	{"vapour space of a kettle",
		{"<reboiler tag='E-4' type='kettle' heating-medium='steam' lean='lean-hot'",
			"<zone name='vapour space'"},
		{"</reboiler>", "</zone>"}, "E-4 zone vapour space"},
	{"nozzle of a filter",
		{"<filter tag='F-1' service='rich' stream='rich-cold'", "<nozzle tag='N-4' stream='rich-cold'"},
		{"</filter>", "</nozzle>"}, "N-4"},
	{"nozzle that names its zone",
		{"<regenerator tag='C-2' feed='rich-hot' lean='lean-hot'", "<zone name='top'",
			"<nozzle tag='N-5' zone='top' stream='rich-hot' size='NPS 8' schedule='40'"},
		{"</regenerator>", "", "</nozzle>"}, "N-5"},
	{"weld that names its zone",
		{"<absorber tag='C-1' gas='feed' lean='lean-cold' rich='rich-cold'", "<zone name='bottom'",
			"<weld name='seam' type='longitudinal' zone='bottom'"},
		{"</absorber>", "", "</weld>"}, "C-1 weld seam"},
};

enum { FRAMES = COUNT(frames) };

/* What is around the frame, so that its place sees amine of a known state. */
static const char surroundings[] =
	"<gas id='feed' role='feed' flow='40 MMscfd' temperature='35 degC' pressure='60 barg' h2s='2 mol%' co2='5 "
	"mol%'/>"
	"<stream id='lean-hot' service='lean' flow='60 m3/h' temperature='121 degC' pressure='1 barg' h2s='0.004' "
	"co2='0.006'/>"
	"<stream id='lean-cold' service='lean' flow='60 m3/h' temperature='45 degC' pressure='6 barg' h2s='0.004' "
	"co2='0.006'/>"
	"<stream id='rich-cold' service='rich' flow='62 m3/h' temperature='63 degC' pressure='6 barg' h2s='0.2' "
	"co2='0.2'/>"
	"<stream id='rich-hot' service='rich' flow='62 m3/h' temperature='98 degC' pressure='4 barg' h2s='0.2' "
	"co2='0.2'/>"
	"<stream id='reflux' service='reflux' flow='3 t/h' temperature='45 degC' density='990 kg/m3'/>"
	"<stream id='overhead' service='acid gas' flow='4 t/h' temperature='100 degC' density='1.6 kg/m3'/>";

/* ---- one description ---- */

/* A fact with the value and the level at which it is stated. */
struct stated_fact {
	const char *name, *value;
	size_t level;
};

struct description {
	const struct frame *frame;
	struct stated_fact statements[FACTS_AT_MOST];
	size_t count;
};

static size_t depth_of(const struct frame *frame)
{
	size_t depth = 0;
	while (depth < LEVELS && frame->open[depth])
		depth++;
	return depth;
}

static const char *written(const struct description *description)
{
	struct text text = text_in(&trial.arena);
	text_add(&text, surroundings);
	size_t depth = depth_of(description->frame);
	for (size_t level = 0; level < depth; level++) {
		text_add(&text, description->frame->open[level]);
		for (size_t i = 0; i < description->count; i++)
			if (description->statements[i].level == level)
				text_addf(&text, " %s='%s'", description->statements[i].name,
					description->statements[i].value);
		text_add(&text, *description->frame->close[level] ? ">" : "/>");
	}
	while (depth-- > 0)
		text_add(&text, description->frame->close[depth]);
	return text.data;
}

static void review(const struct description *description)
{
	if (reviews++ % REVIEWS_IN_AN_ARENA == REVIEWS_IN_AN_ARENA - 1)
		trial_open(&trial, NULL);
	trial_review_unit(&trial, "MDEA", written(description));
}

/* The verdict of every rule at a place, by rule. */
static void verdicts_at(const char *place, enum verdict *verdicts)
{
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const struct finding *found = trial_finding(&trial, trial.catalogue->rules[i].id, place);
		verdicts[i] = found ? found->verdict : VERDICT_NOT_APPLICABLE;
	}
}

static void state(struct description *description, const struct fact *fact, size_t level)
{
	description->statements[description->count++] =
		(struct stated_fact){.name = fact->name, .value = fact->values[chance(4)], .level = level};
}

static const char *value_of(const struct description *description, const char *name)
{
	for (size_t i = 0; i < description->count; i++)
		if (strcmp(description->statements[i].name, name) == 0)
			return description->statements[i].value;
	return NULL;
}

static void forget(struct description *description, const char *name)
{
	for (size_t i = 0; i < description->count; i++)
		if (strcmp(description->statements[i].name, name) == 0)
			description->statements[i--] = description->statements[--description->count];
}

static bool is_steel(const char *material)
{
	return text_same(material, "carbon steel") || text_same(material, "low-alloy steel");
}

/* About half of all facts, all of them stated of the item. */
static struct description chosen(const struct frame *frame)
{
	struct description description = {.frame = frame};
	for (size_t i = 0; i < HANDED_DOWN; i++)
		if (chance(2))
			state(&description, &handed_down[i], 0);
	if (!is_steel(value_of(&description, "material")))
		forget(&description, "cladding"); /* nobody clads an alloy */
	if (strstr(frame->open[depth_of(frame) - 1], "<tube") || strstr(frame->open[depth_of(frame) - 1], "<plate"))
		forget(&description, "cladding"); /* of an exchanger it is that of its shell, not of tubes and plates */
	return description;
}

static void scatter(struct description *description)
{
	for (size_t i = 0; i < description->count; i++)
		description->statements[i].level = chance(depth_of(description->frame));
}

/* ---- the same fact, stated elsewhere ---- */

/* What reads this, at places of this kind, may differ, and why it must. */
static const struct {
	const char *reads, *frames, *reason;
} unequal[] = {
	{"wall-material-family", "tubes of",
		"the metal of a tube side is that of its tubes; of an exchanger, of its channels too"},
	{"cold-strain", "tubesheet", "a tubesheet is not formed cold"},
	{"hardness-weld", "tubesheet", "not read of a tubesheet yet: its rules would ask every tubesheet for it"},
	{"hardness-haz", "tubesheet", "the same"},
	{"hardness-base", "tubesheet", "the same"},
	{"socket-welds", "tubesheet", "nothing is socket welded to a tubesheet"},
	{"blistered", "nozzle", "blisters are found in the plate of a wall and reported of the vessel"},
	{"blistered", "weld", "the same"},
	{"blistered", "elbow", "the same, of the line"},
	{"blistered", "fitting", "the same, of the line"},
	{"blistered", "tube", "tubes are not rolled from plate"},
	{"blistered", "plates", "plates of an exchanger are too thin to blister"},
};

static bool may_differ(const struct rule *rule, const struct frame *frame)
{
	bool may = false;
	for (size_t i = 0; i < COUNT(unequal); i++)
		may = may || (rule_reads(rule, unequal[i].reads) && strstr(frame->name, unequal[i].frames));
	return may;
}

static void expect_alike(const struct description *description, const enum verdict *first, const enum verdict *second)
{
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const char *id = trial.catalogue->rules[i].id;
		if (first[i] == second[i] || may_differ(&trial.catalogue->rules[i], description->frame))
			continue;
		cr_expect_fail("%s, %s: %s where all is stated of the item, %s where it is stated so: %s", id,
			description->frame->name, verdict_word(first[i]), verdict_word(second[i]),
			strstr(written(description), description->frame->open[0]));
	}
}

Test(place, a_fact_counts_the_same_wherever_it_is_stated)
{
	enum { CHOICES = 5, PLACINGS = 2 };
	static enum verdict whole[RULES_AT_MOST], parts[RULES_AT_MOST];
	for (size_t f = 0; f < FRAMES; f++)
		for (size_t k = 0; k < CHOICES; k++) {
			struct description description = chosen(&frames[f]);
			review(&description);
			verdicts_at(frames[f].place, whole);
			for (size_t p = 0; p < PLACINGS; p++) {
				scatter(&description);
				review(&description);
				verdicts_at(frames[f].place, parts);
				expect_alike(&description, whole, parts);
			}
		}
}

/* ---- what is found at one place ---- */

/* Does the rule depart on the item or on any place in it? Nothing else here is of metal. */
static bool departs_anywhere(const struct rule *rule)
{
	for (size_t i = 0; i < trial.review->judgement.count; i++)
		if (trial.review->judgement.findings[i].rule == rule &&
			trial.review->judgement.findings[i].verdict == VERDICT_DEPARTS)
			return true;
	return false;
}

Test(place, what_is_found_condemns_the_item_or_the_place_in_it)
{
	enum { CHOICES = 5 };
	static bool there[RULES_AT_MOST];
	for (size_t f = 0; f < FRAMES; f++)
		for (size_t k = 0; k < CHOICES; k++) {
			struct description description = chosen(&frames[f]);
			size_t before = description.count;
			for (size_t i = 0; i < FOUND_THERE; i++)
				state(&description, &found_there[i], 0);
			review(&description);
			for (size_t i = 0; i < trial.catalogue->rule_count; i++)
				there[i] = departs_anywhere(&trial.catalogue->rules[i]);
			for (size_t i = before; i < description.count; i++)
				description.statements[i].level = depth_of(&frames[f]) - 1;
			review(&description);
			for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
				const char *id = trial.catalogue->rules[i].id;
				if (departs_anywhere(&trial.catalogue->rules[i]) != there[i] &&
					!may_differ(&trial.catalogue->rules[i], &frames[f]))
					cr_expect_fail("%s, %s: %s where it is stated of the item: %s", id,
						frames[f].name, there[i] ? "departs only" : "departs not",
						strstr(written(&description), frames[f].open[0]));
			}
		}
}

/* ---- a cladding is the metal that the fluid touches ---- */

static bool reads_what_is_touched(const struct rule *rule)
{
	static const char *const of_the_wall[] = {"material", "material-family", "cladding", "pwht",
		"metal-temperature", "surface-material", "surface-material-family"};
	bool touched = rule_reads(rule, "wetted-material") || rule_reads(rule, "wetted-material-family");
	for (size_t i = 0; i < COUNT(of_the_wall); i++)
		touched = touched && !rule_reads(rule, of_the_wall[i]);
	return touched;
}

static void expect_clad_as_alloy(const struct frame *frame, const char *alloy)
{
	static enum verdict solid[RULES_AT_MOST], clad[RULES_AT_MOST];
	struct description description = chosen(frame);
	forget(&description, "material");
	forget(&description, "cladding");
	size_t count = description.count++;
	description.statements[count] = (struct stated_fact){.name = "material", .value = alloy};
	review(&description);
	verdicts_at(frame->place, solid);
	description.statements[count].value = "carbon steel";
	description.statements[description.count++] =
		(struct stated_fact){.name = "cladding", .value = alloy, .level = chance(depth_of(frame))};
	review(&description);
	verdicts_at(frame->place, clad);
	for (size_t i = 0; i < trial.catalogue->rule_count; i++)
		if (reads_what_is_touched(&trial.catalogue->rules[i]))
			cr_expect(solid[i] == clad[i], "%s, %s: %s in solid %s, %s clad with it",
				trial.catalogue->rules[i].id, frame->name, verdict_word(solid[i]), alloy,
				verdict_word(clad[i]));
}

Test(place, a_clad_wall_is_judged_as_the_alloy_that_the_fluid_touches)
{
	size_t rules = 0;
	for (size_t i = 0; i < trial.catalogue->rule_count; i++)
		rules += reads_what_is_touched(&trial.catalogue->rules[i]);
	cr_expect(rules >= 15, "%zu rules read the metal that the fluid touches and nothing else of the wall", rules);
	for (size_t f = 0; f < FRAMES; f++) {
		const char *innermost = frames[f].open[depth_of(&frames[f]) - 1];
		if (strstr(innermost, "<tube") || strstr(innermost, "<plate"))
			continue; /* tubes and plates are not clad */
		expect_clad_as_alloy(&frames[f], "316L");
		expect_clad_as_alloy(&frames[f], "2205");
	}
}

/* ---- more information ---- */

/* Words that are computed from others carry no trace: from what. */
static const struct {
	const char *computed, *from;
} sources[] = {
	{"wetted-material wetted-material-family surface-material surface-material-family top-clad bottom-clad "
	 "vapour-space-clad",
		"material cladding"},
	{"expected-scale amine-side cold-end-scale", "temperature material"}, {"two-phase", "pressure temperature"},
	{"metal-temperature metal-reaches highest-temperature",
		"washed-before-steam-out"}, /* then steam does not count */
};

static bool is_traced(const struct quantity *quantity, const char *name)
{
	for (size_t i = 0; quantity && i < quantity->input_count; i++) {
		const struct input *input = &quantity->inputs[i];
		if (text_same(input_property(input), name))
			return true;
		if (is_traced(input->quantity, name))
			return true;
	}
	return false;
}

static bool rests_on(const struct finding *finding, const char *name)
{
	const struct rule *rule = finding->rule;
	if (rule_reads(rule, name) || rule_reads(rule, arena_format(&trial.arena, "%s-family", name)))
		return true;
	for (size_t i = 0; i < finding->input_count; i++)
		if (is_traced(finding->inputs[i].quantity, name))
			return true;
	for (size_t i = 0; i < COUNT(sources); i++)
		for (size_t k = 0; text_has_word(sources[i].from, name) && k < finding->input_count; k++)
			if (text_has_word(sources[i].computed, rule->inputs[k].quantity))
				return true;
	for (size_t s = 0; s < rule->selection_count; s++)
		for (size_t k = 0; k < rule->selections[s].conditions.count; k++)
			for (size_t i = 0; i < COUNT(sources); i++)
				if (text_has_word(sources[i].from, name) &&
					text_has_word(sources[i].computed, rule->selections[s].conditions.rows[k].name))
					return true;
	return false;
}

/* One that departed: the rule, by its index, and the tag. */
struct departure {
	size_t rule;
	const char *item;
};

static size_t departures(struct departure *out, size_t most)
{
	size_t count = 0;
	for (size_t i = 0; i < trial.review->judgement.count; i++) {
		const struct finding *finding = &trial.review->judgement.findings[i];
		if (finding->verdict != VERDICT_DEPARTS)
			continue;
		cr_assert(count < most);
		out[count++] = (struct departure){
			.rule = (size_t)(finding->rule - trial.catalogue->rules), .item = finding->item->tag};
	}
	return count;
}

/* `without`: what departed before `name` was stated; the review of now has it. */
static size_t explained; /* departures that a value took away which their rule rests on */

static void expect_nothing_cleared(const struct departure *without, size_t count, const char *name, const char *where)
{
	for (size_t i = 0; i < count; i++) {
		const struct rule *rule = &trial.catalogue->rules[without[i].rule];
		const struct finding *now = trial_finding(&trial, rule->id, without[i].item);
		if (now && now->verdict != VERDICT_MEETS && now->verdict != VERDICT_NOT_APPLICABLE)
			continue;
		struct finding none = {.rule = rule};
		explained++;
		cr_expect(rests_on(now ? now : &none, name),
			"%s on %s: departs, and %s once %s is stated, which it does not read: %s", rule->id,
			without[i].item, now ? verdict_word(now->verdict) : "is silent", name, where);
	}
}

Test(place, a_value_stated_where_nobody_spoke_takes_no_departure_away)
{
#ifdef __SANITIZE_ADDRESS__
	enum { CHOICES = 1, DEPARTURES = 200 };
#else
	enum { CHOICES = 2, DEPARTURES = 200 };
#endif
	static struct departure without[DEPARTURES];
	for (size_t f = 0; f < FRAMES; f++)
		for (size_t k = 0; k < CHOICES; k++) {
			struct description description = chosen(&frames[f]);
			review(&description);
			size_t count = departures(without, DEPARTURES);
			for (size_t i = 0; i < count; i++)
				without[i].item = arena_format(&trial.arena, "%s", without[i].item);
			for (size_t which = 0; which < HANDED_DOWN + FOUND_THERE; which++) {
				const struct fact *fact =
					which < HANDED_DOWN ? &handed_down[which] : &found_there[which - HANDED_DOWN];
				if (value_of(&description, fact->name))
					continue;
				struct description more = description;
				state(&more, fact, chance(depth_of(&frames[f])));
				trial_review_unit(&trial, "MDEA", written(&more));
				expect_nothing_cleared(without, count, fact->name, frames[f].name);
			}
			trial_open(&trial, NULL);
		}
	cr_expect(explained > 0, "no value took any departure away: nothing was tried");
}
