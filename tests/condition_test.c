/*
 * The condition of a place: one vessel with many places, what each is in, and what the rules and the damage chapter say of it; and
 * that they never say two things of one place, whatever is stated.
 */
#include <criterion/criterion.h>
#include <glob.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/damage.h"
#include "resolve/equipment.h"
#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(condition, .init = begin, .fini = end);

/* Lean MDEA at 115 degC, so that the rule of that amine asks for stress relief everywhere. */
#define VESSEL                                                                                                         \
	"<vessel tag='V' service='lean' material='carbon steel' temperature='115 degC' traced='no' steamed-out='no' "  \
	"thickness='38 mm' pwht='yes' pwht-temperature='635 degC' pwht-hold='2 h' year-built='1994'>"

static const char TWELVE_PLACES[] =
	VESSEL "<zone name='top' cladding='316L'/>"
	       "<zone name='upper'><repair name='window' work='replaced in part' date='2011-05-01' hardness-haz='262 "
	       "HV'/></zone>"
	       "<zone name='lower' cladding='316L' cladding-type='lined'><repair name='lining' re-lined='no'/></zone>"
	       "<zone name='bottom' pwht='no'/>"
	       "<repair name='tap' work='hot tap' date='2015-03-01'/>"
	       "<repair name='treated' date='2012-03-01' pwht='yes' pwht-temperature='640 degC' pwht-hold='2 h'/>"
	       "<repair name='clamp' work='leak clamp bolted on' date='2020-03-01'/>"
	       "<nozzle tag='N1' pwht='no'/>"
	       "<nozzle tag='N2' pwht='yes' pwht-temperature='593 degC'/>"
	       "<nozzle tag='N3' pwht='yes' pwht-temperature='621 degC'/>"
	       "<nozzle tag='N4' pwht='yes' pwht-hold='40 min' thickness='38 mm'/>"
	       "<nozzle tag='N5' pwht='yes' pwht-temperature='560 degC' pwht-lower-temperature-option='yes'/>"
	       "<part name='head' cold-strain='7 %' heat-treated-after-forming='no'/>"
	       "<part name='cone' cold-strain='7 %'/>"
	       "<weld name='W1' type='repair'/>"
	       "<weld name='W2' type='attachment'/></vessel>";

/* relieved: 'y', 'n'; crack: what the damage chapter says of amine cracking, ' ': no line of its own; rule: that asks for it. */
struct expected {
	const char *tag;
	char relieved;
	const char *relief, *metal;
	char crack;
	enum urgency urgency;
	const char *rule;
	enum verdict verdict;
};

static const struct expected EXPECTED[] = {
	{"V", 'y', "treated at 635 degC for 2 h", "carbon steel", 'n', URGENCY_NORMAL, "CRK-004", VERDICT_MEETS},
	{"V zone top", 'y', "treated at 635 degC for 2 h", "316L", 'n', URGENCY_NORMAL, "CRK-004",
		VERDICT_NOT_APPLICABLE},
	{"V zone upper", 'y', "treated at 635 degC for 2 h", "carbon steel", 'n', URGENCY_NORMAL, "CRK-004",
		VERDICT_MEETS},
	{"window", 'n', "replaced in part, and no heat treatment after it is stated", "carbon steel", 'y',
		URGENCY_BEFORE_RESTART, "CRK-019", VERDICT_DEPARTS},
	{"V zone lower", 'y', "treated at 635 degC for 2 h", "316L", 'n', URGENCY_NORMAL, "CRK-004",
		VERDICT_NOT_APPLICABLE},
	{"lining", 'n', "weld repair, and no heat treatment after it is stated", "carbon steel", 'y',
		URGENCY_BEFORE_RESTART, "CRK-019", VERDICT_DEPARTS},
	{"V zone bottom", 'n', "as welded", "carbon steel", 'y', URGENCY_NEXT_STOP, "CRK-004", VERDICT_DEPARTS},
	{"tap", 'n', "hot tap, and no heat treatment after it is stated", "carbon steel", 'y', URGENCY_BEFORE_RESTART,
		"CRK-019", VERDICT_DEPARTS},
	{"treated", 'y', "treated at 640 degC for 2 h", "carbon steel", 'n', URGENCY_NORMAL, "CRK-019", VERDICT_MEETS},
	{"clamp", 'y', "treated at 635 degC for 2 h", "carbon steel", 'n', URGENCY_NORMAL, "CRK-019", VERDICT_MEETS},
	{"N1", 'n', "as welded", "carbon steel", 'y', URGENCY_NEXT_STOP, "CRK-004", VERDICT_DEPARTS},
	{"N2", 'y', "treated at 593 degC for 2 h, which API RP 945 (2003) accepts and later editions do not",
		"carbon steel", ' ', URGENCY_NONE, "CRK-009", VERDICT_DEPARTS},
	{"N3", 'y', "treated at 621 degC for 2 h", "carbon steel", ' ', URGENCY_NONE, "CRK-009", VERDICT_MEETS},
	{"N4", 'n', "treated for 40 min at 38.0 mm, shorter than construction codes require", "carbon steel", 'y',
		URGENCY_NEXT_STOP, "CRK-004", VERDICT_DEPARTS},
	{"N5", 'n', "treated at 560 degC, less than 593 degC", "carbon steel", 'y', URGENCY_NEXT_STOP, "CRK-004",
		VERDICT_DEPARTS},
	{"head", 'n', "cold formed to 7 % and not heat treated since", "carbon steel", 'y', URGENCY_NEXT_STOP,
		"CRK-004", VERDICT_DEPARTS},
	{"cone", 'y', "treated at 635 degC for 2 h", "carbon steel", 'n', URGENCY_NORMAL, "CRK-004", VERDICT_MEETS},
	{"W1", 'n', "weld repair, and no heat treatment after it is stated", "carbon steel", 'y',
		URGENCY_BEFORE_RESTART, "CRK-004", VERDICT_DEPARTS},
	{"W2", 'y', "treated at 635 degC for 2 h", "carbon steel", ' ', URGENCY_NONE, "CRK-004", VERDICT_MEETS},
};

/* The item of this tag, or whose tag ends with it after a space. */
static const struct item *item_called(const char *name)
{
	for (size_t i = 0; i < table_item_count(trial.table); i++) {
		const char *tag = table_item(trial.table, i)->tag;
		size_t length = strlen(tag), wanted = strlen(name);
		if (strcmp(tag, name) == 0 ||
			(length > wanted && tag[length - wanted - 1] == ' ' &&
				strcmp(tag + length - wanted, name) == 0))
			return table_item(trial.table, i);
	}
	cr_assert_fail("no %s", name);
	return NULL;
}

static const struct damage *line_of(const struct item *item)
{
	for (size_t i = 0; i < trial.review->damage_count; i++)
		if (trial.review->damage[i].item == item)
			return &trial.review->damage[i];
	return NULL;
}

static void expect_condition(const struct expected *place, const struct item *item)
{
	const struct quantity *relieved = trial_value(&trial, item->tag, NULL, "stress-relieved");
	cr_assert(relieved && relieved->known != UNKNOWN, "%s", place->tag);
	cr_expect_eq(relieved->si > 0, place->relieved == 'y', "%s", place->tag);
	cr_expect_str_eq(trial_value(&trial, item->tag, NULL, "stress-relief")->word, place->relief, "%s", place->tag);
	cr_expect_str_eq(trial_value(&trial, item->tag, NULL, "wetted-material")->word, place->metal, "%s", place->tag);
}

static void expect_damage(const struct expected *place, const struct item *item)
{
	const struct damage *line = line_of(item);
	cr_expect_eq(!line, place->crack == ' ', "%s has %s line", place->tag, line ? "a" : "no");
	if (!line)
		return;
	const struct damage_answer *cracking = &line->answers[MECHANISM_AMINE_CRACKING];
	cr_expect_eq(cracking->credible, place->crack == 'y' ? YES : NO, "%s: %s", place->tag, cracking->why);
	cr_expect_eq(line->urgency, place->urgency, "%s: %s", place->tag, urgency_word(line->urgency));
	cr_expect(!strstr(place->metal, "carbon") || strstr(line->condition, place->relief), "%s: %s", place->tag,
		line->condition);
}

Test(condition, one_vessel_of_many_places)
{
	trial_review_unit(&trial, "MDEA", TWELVE_PLACES);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	for (size_t i = 0; i < COUNT(EXPECTED); i++) {
		const struct item *item = item_called(EXPECTED[i].tag);
		expect_condition(&EXPECTED[i], item);
		expect_damage(&EXPECTED[i], item);
		const struct finding *found = trial_finding(&trial, EXPECTED[i].rule, item->tag);
		cr_assert_not_null(found, "%s of %s", EXPECTED[i].rule, item->tag);
		cr_expect_eq(found->verdict, EXPECTED[i].verdict, "%s: %s %s", item->tag, found->rule->id,
			verdict_word(found->verdict));
	}
}

/* ---- a place that names a part or a zone ---- */

/* It has the treatment of that place where it was there before it, and none where it was welded later. */
Test(condition, what_holds_for_a_part_or_zone_holds_for_what_names_it)
{
	static const struct {
		const char *within, *tag;
		bool relieved;
		const char *relief;
	} rows[] = {
		{"<part name='cone' pwht='no'/><weld name='w' type='attachment' part='cone'/>", "V weld w", false,
			"as welded"},
		{"<zone name='top'><part name='cone' pwht='no'/></zone><weld name='w' part='cone'/>", "V weld w", false,
			"as welded"},
		{"<part name='cone' pwht='no'/><weld name='w' type='attachment' part='cone' pwht='yes'/>", "V weld w",
			true, "treated"},
		{"<part name='cone' pwht='no'/><weld name='w' type='attachment'/>", "V weld w", true, "treated"},
		{"<zone name='top' pwht-temperature='640 degC' pwht='yes'/><weld name='w' type='repair' zone='top'/>",
			"V weld w", false, "weld repair, and no heat treatment after it is stated"},
		{"<part name='cone' pwht='yes'/><weld name='w' type='repair' part='cone'/>", "V weld w", false,
			"weld repair, and no heat treatment after it is stated"},
		{"<part name='cone' pwht='yes'/><repair name='r' part='cone'/>", "V repair r", false,
			"weld repair, and no heat treatment after it is stated"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review_unit(&trial, "MDEA",
			arena_format(&trial.arena,
				"<vessel tag='V' service='lean' material='carbon steel' pwht='yes'>%s</vessel>",
				rows[i].within));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct quantity *relieved = trial_value(&trial, rows[i].tag, NULL, "stress-relieved");
		cr_expect_eq(relieved->si > 0, rows[i].relieved, "%s", rows[i].within);
		const char *relief = trial_value(&trial, rows[i].tag, NULL, "stress-relief")->word;
		cr_expect_str_eq(relief, rows[i].relief, "%s: %s", rows[i].within, relief);
	}
}

/* ---- never two things of one place ---- */

static const char *const RELIEF_RULES[] = {"CRK-001", "CRK-002", "CRK-003", "CRK-004", "CRK-005", "CRK-019"};

static bool says(const struct finding *finding, const char *words)
{
	return finding && finding->message && strstr(finding->message, words);
}

/* Of one place: a rule that meets because it is stress relieved, and anything that says it is not. */
static void expect_one_answer(const char *design, const struct damage *line)
{
	const struct item *item = line->item;
	const struct quantity *relieved = trial_value(&trial, item->tag, NULL, "stress-relieved");
	bool is_no = relieved && relieved->known != UNKNOWN && relieved->si <= 0;
	bool is_yes = relieved && relieved->known != UNKNOWN && relieved->si > 0;
	const struct damage_answer *cracking = &line->answers[MECHANISM_AMINE_CRACKING];
	cr_expect(
		!(is_no && strstr(cracking->why, "stress relieved:")), "%s, %s: %s", design, item->tag, cracking->why);
	cr_expect(!(is_yes && strstr(line->condition, "as welded")), "%s, %s: %s", design, item->tag, line->condition);
	for (size_t r = 0; r < COUNT(RELIEF_RULES); r++) {
		const struct finding *found = trial_finding(&trial, RELIEF_RULES[r], item->tag);
		if (!found || found->verdict != VERDICT_DEPARTS)
			continue;
		cr_expect(is_no && cracking->credible == YES, "%s, %s: %s departs; %s", design, item->tag,
			RELIEF_RULES[r], cracking->why);
	}
}

static void expect_one_answer_of_all(const char *design)
{
	for (size_t i = 0; i < trial.review->damage_count; i++)
		expect_one_answer(design, &trial.review->damage[i]);
	for (size_t i = 0; i < trial.review->judgement.count; i++) {
		const struct finding *found = &trial.review->judgement.findings[i];
		const struct quantity *relieved = trial_value(&trial, found->item->tag, NULL, "stress-relieved");
		cr_expect(!says(found, "reat as not stress relieved") || (relieved && relieved->si <= 0), "%s: %s",
			design, found->message);
	}
}

Test(condition, no_design_hears_two_things_of_one_place)
{
	glob_t found;
	cr_assert(glob("designs/*.xml", 0, NULL, &found) == 0);
	cr_assert(glob("tests/designs/*.xml", GLOB_APPEND, NULL, &found) == 0);
	for (size_t i = 0; i < found.gl_pathc; i++) {
		trial_review_file(&trial, found.gl_pathv[i]);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		expect_one_answer_of_all(found.gl_pathv[i]);
	}
	globfree(&found);
}

/* The minimal standard generator of Park and Miller, 1988: the same vessels in every run. */
static unsigned long drawn = 20261130;

static size_t draw(size_t below)
{
	drawn = drawn * 48271UL % 2147483647UL;
	return drawn % below;
}

#define PICK(rows) (rows)[draw(COUNT(rows))]

static void add_treatment(struct text *text)
{
	static const char *const done[] = {"", "", " pwht='no'", " pwht='yes'", " pwht='yes'", " pwht='t.b.d.'"};
	static const char *const heat[] = {
		"", " pwht-temperature='560 degC'", " pwht-temperature='593 degC'", " pwht-temperature='635 degC'"};
	static const char *const hold[] = {"", " pwht-hold='20 min'", " pwht-hold='2 h'"};
	text_addf(text, "%s%s%s", PICK(done), PICK(heat), PICK(hold));
}

static void add_state(struct text *text)
{
	static const char *const hard[] = {
		"", " hardness-haz='240 HV'", " hardness-haz='262 HV'", " hardness-weld='23 HRC'"};
	static const char *const seen[] = {
		"", "", " cracks-found='yes'", " cracks-found='no'", " blisters-found='yes'"};
	static const char *const metal[] = {"", "", " cladding='316L'", " cladding='none'", " material='316L'"};
	static const char *const formed[] = {
		"", "", " cold-strain='7 %' heat-treated-after-forming='no'", " cold-strain='3 %'"};
	add_treatment(text);
	text_addf(text, "%s%s%s%s", PICK(hard), PICK(seen), PICK(metal), PICK(formed));
}

static void add_scope(struct text *text)
{
	static const char *const scope[] = {
		"", "", " pwht-covers-all='no'", " pwht-covers-all='yes'", " pwht-lower-temperature-option='yes'"};
	text_addf(text, "%s", PICK(scope));
}

static void add_part(struct text *text, size_t i)
{
	static const char *const works[] = {"", " work='hot tap'", " work='leak clamp bolted on'", " work='overlay'"};
	static const char *const types[] = {"repair", "attachment", "longitudinal"};
	switch (draw(4)) {
	case 0:
		text_addf(text, "<repair name='r%zu'%s", i, PICK(works));
		add_state(text);
		break;
	case 1:
		text_addf(text, "<nozzle tag='N%zu'", i);
		add_state(text);
		add_scope(text);
		break;
	case 2:
		text_addf(text, "<weld name='w%zu' type='%s'", i, PICK(types));
		add_state(text);
		add_scope(text);
		break;
	default:
		text_addf(text, "<part name='p%zu'", i);
		add_state(text);
		add_scope(text);
		break;
	}
	text_addf(text, "/>");
}

static const char *vessel_drawn(struct arena *arena)
{
	static const char *const services[] = {"lean", "rich", "sour gas"};
	static const char *const warm[] = {"45 degC", "70 degC", "115 degC"};
	struct text text = text_in(arena);
	text_addf(&text, "<vessel tag='V' material='carbon steel' thickness='38 mm' service='%s' temperature='%s'",
		PICK(services), PICK(warm));
	add_treatment(&text);
	add_scope(&text);
	text_addf(&text, ">");
	for (size_t i = 0, parts = 1 + draw(4); i < parts; i++)
		add_part(&text, i);
	text_addf(&text, "</vessel>");
	return text.data;
}

Test(condition, no_vessel_hears_two_things_of_one_place)
{
	static const char *const amines[] = {"MEA", "DEA", "MDEA", "DGA", "DIPA"};
#ifdef __SANITIZE_ADDRESS__
	enum { VESSELS = 200 };
#else
	enum { VESSELS = 2000 };
#endif
	for (size_t i = 0; i < VESSELS; i++) {
		struct arena arena = {0};
		const char *vessel = vessel_drawn(&arena);
		trial_review_unit(&trial, PICK(amines), vessel);
		cr_assert_not_null(trial.review, "%s: %s", vessel, trial_messages(&trial));
		expect_one_answer_of_all(vessel);
		arena_release(&arena);
	}
}

/* ---- sour, lightly sour, sweet ---- */

#define UNIT_OF(h2s)                                                                                                   \
	"<gas id='G' role='feed' pressure='60 barg' temperature='35 degC' flow='40 MMscfd' h2s='" h2s                  \
	"' co2='5 mol%' "                                                                                              \
	"nh3='0 ppmv' hcn='0 ppmv'/><absorber tag='C-1' gas='G' material='carbon steel' pwht='yes'/>"                  \
	"<regenerator tag='C-2' material='carbon steel' pwht='yes' top-pressure='0.9 barg' bottom-pressure='1.1 "      \
	"barg'/>"                                                                                                      \
	"<reflux-drum tag='V-3' material='carbon steel' pwht='yes' pressure='0.7 barg'/>"                              \
	"<line tag='P' service='lean' material='carbon steel' pwht='yes'/>"

static bool is_asked(const char *item, const char *quantity)
{
	for (size_t i = 0; i < trial.review->judgement.count; i++) {
		const struct finding *found = &trial.review->judgement.findings[i];
		for (size_t k = 0; found->verdict == VERDICT_NOT_JUDGED && k < found->missing_count; k++)
			if (found->missing[k].item && strcmp(found->missing[k].item->tag, item) == 0 &&
				text_same(found->missing[k].quantity, quantity))
				return true;
	}
	return false;
}

Test(condition, one_unit_sour_lightly_sour_and_sweet)
{
	static const struct {
		const char *unit, *word, *absorber, *drum, *line;
		bool plate, hardness, spoken;
	} rows[] = {
		{UNIT_OF("1 mol%"), "sour", "sour", "sour", "lightly sour", true, true, true},
		{UNIT_OF("20 ppmv"), "lightly sour", "lightly sour", "lightly sour", "lightly sour", false, true, true},
		{UNIT_OF("0 mol%"), "sweet", "sweet", "sweet", "sweet", false, false, false},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review_unit(&trial, "MDEA", rows[i].unit);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		cr_expect_str_eq(trial_value(&trial, "C-1", NULL, "sourness")->word, rows[i].absorber);
		cr_expect_str_eq(trial_value(&trial, "V-3", NULL, "sourness")->word, rows[i].drum);
		cr_expect_str_eq(trial_value(&trial, "P", NULL, "sourness")->word, rows[i].line);
		cr_expect_str_eq(trial_value(&trial, table_sole(trial.table, "unit")->tag, NULL, "sourness")->word,
			rows[i].word);
		cr_expect_eq(is_asked("C-1", "hic-tested"), rows[i].plate, "%s: plate", rows[i].word);
		cr_expect_eq(is_asked("V-3", "hic-tested"), rows[i].plate, "%s: plate of the drum", rows[i].word);
		cr_expect_eq(is_asked("C-1", "hardness-weld"), rows[i].hardness, "%s: hardness", rows[i].word);
		cr_expect_eq(damage_concerns(trial.table, MECHANISM_HIC), rows[i].spoken, "%s", rows[i].word);
	}
}

/* Rules of wet H2S and of the sulfide scale: which concern the unit, judged or waiting for a value. */
static bool concerns(const char *rule)
{
	for (size_t i = 0; i < trial.review->judgement.count; i++) {
		const struct finding *found = &trial.review->judgement.findings[i];
		if (strcmp(found->rule->id, rule) == 0 && found->verdict != VERDICT_NOT_APPLICABLE)
			return true;
	}
	return false;
}

#define WATER "<stream id='R' service='reflux' ph='8.6' dissolved-sulfide='4000 ppmw' hcn='30 ppmw'/>"

/* The same unit with three contents of H2S: what each hears of. */
Test(condition, what_each_of_the_three_hears)
{
	static const char *const units[] = {UNIT_OF("1 mol%") WATER, UNIT_OF("20 ppmv") WATER, UNIT_OF("0 mol%")};
	static const struct {
		const char *rule;
		bool in[COUNT(units)];
	} rows[] = {
		{"WHS-001", {true, false, false}},
		{"WHS-003", {true, false, false}},
		{"WHS-004", {true, false, false}},
		{"WHS-009", {true, true, false}},
		{"WHS-011", {true, true, false}},
		{"CRK-015", {true, true, false}},
		{"CRK-016", {true, true, false}},
		{"CRK-004", {true, true, true}},
		{"MAT-013", {true, true, true}},
	};
	static const enum mechanism of_h2s[] = {
		MECHANISM_SULFIDE_CRACKING, MECHANISM_HIC, MECHANISM_SOHIC, MECHANISM_BISULFIDE};
	for (size_t u = 0; u < COUNT(units); u++) {
		trial_review_unit(&trial, "MDEA", units[u]);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		for (size_t i = 0; i < COUNT(rows); i++)
			cr_expect_eq(concerns(rows[i].rule), rows[i].in[u], "%s in unit %zu", rows[i].rule, u);
		for (size_t m = 0; m < COUNT(of_h2s); m++)
			cr_expect_eq(damage_concerns(trial.table, of_h2s[m]), u < 2, "%s in unit %zu",
				mechanisms[of_h2s[m]].name, u);
		cr_expect(damage_concerns(trial.table, MECHANISM_AMINE_CRACKING));
	}
}

/* Not known: counts as sour, and asks for the H2S of the gas. */
Test(condition, what_no_gas_states_is_not_sweet)
{
	trial_review_unit(&trial, "MDEA",
		"<gas id='G' role='feed' pressure='60 barg' co2='5 mol%'/><reflux-drum tag='V' "
		"material='carbon steel' hic-tested='no'/>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_eq(trial_value(&trial, "V", NULL, "sourness")->known, UNKNOWN);
	cr_expect_eq(trial_finding(&trial, "WHS-004", "V")->verdict, VERDICT_DEPARTS);
}

/* ---- the edition that is claimed ---- */

#define COLD_LINE                                                                                                      \
	"<solvent amine='MDEA'/><line tag='P' service='lean' material='carbon steel' pwht='%s' temperature='45 degC' " \
	"traced='no' steamed-out='no' cladding='%s'/></unit>"

Test(condition, the_edition_claimed_and_the_age_of_the_unit_decide)
{
	static const char unit[] = "<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='%s'>%s</basis>" COLD_LINE;
	static const struct {
		const char *kind, *code, *pwht, *cladding, *rule;
		enum verdict verdict;
	} rows[] = {
		{"new", "", "no", "none", "CRK-026", VERDICT_DEPARTS},
		{"new", "", "yes", "none", "CRK-026", VERDICT_MEETS},
		{"new", "", "no", "316L", "CRK-026", VERDICT_MEETS},
		{"revamp", "", "no", "none", "CRK-027", VERDICT_DEPARTS},
		{"revamp", "", "no", "none", "CRK-026", VERDICT_NOT_APPLICABLE},
		{"new", "<code edition='3rd, 2020'>API RP 571</code>", "no", "none", "CRK-025", VERDICT_DEPARTS},
		{"new", "<code edition='3rd, 2020'>API RP 571</code>", "yes", "none", "CRK-025", VERDICT_MEETS},
		{"new", "<code>API RP 571</code>", "no", "none", "CRK-025", VERDICT_DEPARTS},
		{"new", "<code edition='2nd, 2011'>API RP 571</code>", "no", "none", "CRK-025", VERDICT_NOT_APPLICABLE},
		{"new", "<code edition='2nd, 2011'>API RP 571</code>", "no", "none", "CRK-026", VERDICT_DEPARTS},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial,
			arena_format(&trial.arena, unit, rows[i].kind, rows[i].code, rows[i].pwht, rows[i].cladding));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct item *item = table_sole(trial.table, "unit");
		const struct finding *found = trial_finding(&trial, rows[i].rule, item->tag);
		cr_assert_not_null(found);
		cr_expect_eq(found->verdict, rows[i].verdict, "row %zu: %s", i, verdict_word(found->verdict));
		cr_expect(found->verdict != VERDICT_DEPARTS || says(found, "P"));
	}
}

/* A storage tank is not stress relieved, a vessel of some pressure is: common practice, no source. */
Test(condition, a_storage_tank_is_no_lean_steel_to_be_relieved)
{
	static const char unit[] =
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new' barometric-pressure='1.013 bara'/>"
		"<solvent amine='DEA'/><stream id='a' service='lean' to='TK' temperature='45 degC'/>"
		"<tank tag='TK' material='carbon steel' pwht='no' traced='no' steamed-out='no' service='lean' "
		"temperature='45 degC' design-pressure='%s'/></unit>";
	static const struct {
		const char *design;
		enum verdict verdict;
	} rows[] = {{"0.05 barg", VERDICT_MEETS}, {"3.5 barg", VERDICT_DEPARTS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial, arena_format(&trial.arena, unit, rows[i].design));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct finding *found = trial_finding(&trial, "CRK-026", table_sole(trial.table, "unit")->tag);
		cr_assert_not_null(found);
		cr_expect_eq(found->verdict, rows[i].verdict, "%s: %s", rows[i].design, verdict_word(found->verdict));
	}
}

/* ---- what cannot be, or is said twice ---- */

static size_t contradictions(const char *vessel)
{
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='revamp'><document id='D' "
			"title='Data "
			"sheet'/></basis><solvent amine='MDEA'/>%s</unit>",
			vessel));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return table_of_kind(trial.table, "contradiction").count;
}

Test(condition, what_two_documents_say_of_one_weld_is_a_contradiction)
{
	cr_expect_eq(
		contradictions("<vessel tag='V' service='lean' material='carbon steel'><weld name='w' pwht='yes' "
			       "pwht-temperature='600 degC'><stated document='D' pwht-temperature='640 degC'/></weld>"
			       "</vessel>"),
		1);
	cr_expect_eq(contradictions("<vessel tag='V' service='lean' material='carbon steel' cladding='316L'>"
				    "<stated document='D' cladding='304L'/></vessel>"),
		1);
	cr_expect_eq(contradictions("<vessel tag='V' service='lean' material='carbon steel' cladding='316L'>"
				    "<stated document='D' cladding='316L'/></vessel>"),
		0);
}

Test(condition, hardness_without_a_scale_is_a_fault)
{
	trial_review(&trial,
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis/><solvent amine='MDEA'/><vessel tag='V' "
		"service='lean' material='carbon steel' hardness-weld='262'/></unit>");
	cr_expect_null(trial.review);
	cr_expect(strstr(trial_messages(&trial), "unit-missing: hardness-weld"), "%s", trial_messages(&trial));
}
