/*
 * Twelve changes of a kind that revamps bring, planted one at a time in one small unit: each is found, classed, and traced to the input
 * that was changed. The unit is invented.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "pipeline/stages.h"
#include "resolve/resolve.h"
#include "revamp/compare.h"
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

TestSuite(planted, .init = begin, .fini = end);

static const char base_unit[] =
	"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='revamp' barometric-pressure='1.01325 bara'><case "
	"id='n'/>"
	"<case id='s'/><!--case--></basis><solvent amine='DEA' strength='30 wt%'/>"
	"<gas id='G' role='feed' flow='30 MMscfd' temperature='38 degC' pressure='40 barg' h2s='2 mol%' co2='1 mol%' "
	"molar-mass='18.5 g/mol'/>"
	"<stream id='rich' service='rich' from='C-1' to='V-1' flow='60 m3/h' temperature='55 degC' pressure='40 barg' "
	"h2s='0.30' "
	"co2='0.10'/>"
	"<stream id='hot' service='lean' flow='60 m3/h' temperature='55 degC' pressure='3 barg' h2s='0.02' co2='0.01'/>"
	"<stream id='cold' service='lean' flow='60 m3/h' temperature='45 degC' pressure='45 barg' h2s='0.02' "
	"co2='0.01'>"
	"<in case='s' flow='66 m3/h'/><!--flow--></stream>"
	"<absorber tag='C-1' gas='G' rich='rich' lean='cold' material='carbon steel' pwht='yes' pwht-covers-all='yes'>"
	"<valve tag='LV-1' role='letdown' to='V-1' cv='60 Cv' relief-cv='60 Cv'/><!--repair--></absorber>"
	"<flash-drum tag='V-1' rich='rich' liquid-volume='6 m3' hydrocarbon-skimmed='no'>"
	"<relief-valve set-pressure='9 barg' capacity='30 t/h' required='25 t/h' sized-for='gas blow-by'/></flash-drum>"
	"<exchanger tag='E-1'><tube-side inlet='rich' outlet='rich' material='carbon steel' tubes='60' passes='2' "
	"tube-od='19.05 mm' "
	"tube-wall='2.11 mm'/></exchanger>"
	"<reboiler tag='E-2' type='kettle' heating-medium='steam' steam-pressure='3.5 barg'/>"
	"<pump tag='P-1' service='lean' suction='hot' discharge='cold' flow='60 m3/h' suction-pressure='3 barg' "
	"discharge-pressure='47 barg'><in case='s' flow='66 m3/h'/></pump>"
	"<filter tag='S-1' service='lean' stream='cold' flow='2 m3/h' rated-flow='1.5 m3/h'/>"
	"<line tag='L-1' stream='hot' size='NPS 8' schedule='40' material='carbon steel' pwht='no' traced='no' "
	"steamed-out='no'/>"
	"<line tag='L-2' stream='cold' size='NPS 4' schedule='80' material='carbon steel' pwht='yes'/>"
	"<line tag='L-3' from='P-1' stream='cold' size='NPS 6' schedule='80' design-pressure='60 barg'/></unit>";

/* The changes of one number are planted together. */
static const struct planted {
	int revamp;
	const char *what, *from, *to;
	const char *rule, *item;
	enum change change;
	const char *of, *input; /* the difference that is traced; input "": the item as a whole */
} rows[] = {
	{0, "a kept metal past its threshold", "temperature='55 degC' pressure='3 barg'",
		"temperature='68 degC' pressure='3 barg'", "CRK-002", "L-1", CHANGE_NEW, "hot", "temperature"},
	{0, "a larger trim, the relief as it was", "cv='60 Cv' relief", "cv='95 Cv' relief", "RLF-003", "LV-1",
		CHANGE_NEW, "LV-1", "cv"},
	{0, "more flow through the same hold-up", "to='V-1' flow='60 m3/h'", "to='V-1' flow='81 m3/h'", "FLF-001",
		"V-1", CHANGE_NEW, "rich", "flow"},
	{0, "a wider line", "size='NPS 4'", "size='NPS 6'", "VEL-001", "L-2", CHANGE_RESOLVED, "L-2", "size"},
	{0, "a filter that is less overloaded", "flow='2 m3/h' rated", "flow='1.7 m3/h' rated", "CAP-009", "S-1",
		CHANGE_BETTER, "S-1", "flow"},
	{0, "a pump with a larger impeller", "discharge-pressure='47 barg'", "discharge-pressure='62 barg'", "PMP-007",
		"L-3", CHANGE_NEW, "P-1", "discharge-pressure"},
	{1, "a new case that a data sheet leaves out", "<!--flow-->", "<in case='w' flow='80 m3/h'/>", "CAP-013", "P-1",
		CHANGE_NEW, "cold", "flow"},
	{1, "hotter steam", "steam-pressure='3.5 barg'", "steam-pressure='8 barg'", "TMP-006", "E-2", CHANGE_NEW, "E-2",
		"steam-pressure"},
	{1, "a weld repair in a relieved vessel", "<!--repair-->", "<repair name='R1' work='weld repair' pwht='no'/>",
		"CRK-019", "C-1 repair R1", CHANGE_NEW, "C-1 repair R1", ""},
	{1, "tubes of an alloy", "<tube-side inlet='rich' outlet='rich' material='carbon steel'",
		"<tube-side inlet='rich' outlet='rich' material='316L'", "VEL-008", "E-1 tube side", CHANGE_RESOLVED,
		"E-1 tube side", "material"},
	{1, "a capacity that is not stated any more", "capacity='30 t/h' ", "", "RLF-002", "V-1 relief valve",
		CHANGE_UNJUDGED, "V-1 relief valve", "capacity"},
	{1, "a filter taken away",
		"<filter tag='S-1' service='lean' stream='cold' flow='2 m3/h' rated-flow='1.5 m3/h'/>", "", "CAP-009",
		"S-1", CHANGE_RESOLVED, "S-1", ""},
};
enum { REVAMPS = 2 };

static const char *replaced(const char *text, const char *from, const char *to)
{
	const char *at = strstr(text, from);
	cr_assert_not_null(at, "%s", from);
	return arena_format(&trial.arena, "%.*s%s%s", (int)(at - text), text, to, at + strlen(from));
}

static const char *revamp_unit(int revamp)
{
	const char *text = revamp == 1 ? replaced(base_unit, "<!--case-->", "<case id='w'/>") : base_unit;
	for (size_t i = 0; i < COUNT(rows); i++)
		if (rows[i].revamp == revamp)
			text = replaced(text, rows[i].from, rows[i].to);
	return text;
}

static const struct element *read_unit(const char *text)
{
	const struct element *unit =
		element_parse(&trial.arena, "test.xml", text, strlen(text), trial.vocabulary, &trial.problems);
	cr_assert_not_null(unit, "%s", trial_messages(&trial));
	return unit;
}

static const struct change_row *row_of(const struct comparison *comparison, const struct planted *planted)
{
	for (size_t i = 0; i < comparison->count; i++)
		if (strcmp(comparison->rows[i].rule->id, planted->rule) == 0 &&
			strcmp(comparison->rows[i].item, planted->item) == 0)
			return &comparison->rows[i];
	return NULL;
}

static bool has_input(const struct change_row *row, const struct planted *planted)
{
	for (size_t i = 0; i < row->input_count; i++)
		if (strcmp(row->inputs[i]->item, planted->of) == 0 && strcmp(row->inputs[i]->name, planted->input) == 0)
			return true;
	return false;
}

static void expect_found(const struct comparison *comparison, const struct planted *planted)
{
	const struct change_row *row = row_of(comparison, planted);
	cr_expect(row, "%s: no %s on %s", planted->what, planted->rule, planted->item);
	if (!row)
		return;
	cr_expect(row->change == planted->change, "%s: %s", planted->what, change_word(row->change));
	cr_expect(has_input(row, planted), "%s: %s of %s is not traced", planted->what, planted->input, planted->of);
}

static const char *crossed(const struct comparison *comparison, const char *item)
{
	for (size_t i = 0; i < comparison->kept_count; i++)
		if (strcmp(comparison->kept[i].item->tag, item) == 0)
			return comparison->kept[i].crossed;
	return "";
}

Test(planted, each_of_twelve_changes_is_found_classed_and_traced)
{
	struct comparison comparisons[REVAMPS];
	struct differences differences[REVAMPS];
	const struct element *base = read_unit(base_unit);
	const struct resolved_unit was = {base, resolve(&trial.arena, base, &trial.problems)};
	cr_assert(was.table, "%s", trial_messages(&trial));
	const struct review *before = stages_review(&trial.arena, "base.xml", &was, trial.catalogue);
	for (int r = 0; r < REVAMPS; r++) {
		const struct element *revamp = read_unit(revamp_unit(r));
		const struct resolved_unit is = {revamp, resolve(&trial.arena, revamp, &trial.problems)};
		cr_assert(is.table, "%s", trial_messages(&trial));
		const struct review *after = stages_review(&trial.arena, "revamp.xml", &is, trial.catalogue);
		differences[r] = differences_of(&trial.arena, base, revamp);
		comparisons[r] = compare_reviews(&trial.arena, before, after, &differences[r]);
	}
	for (size_t i = 0; i < COUNT(rows); i++)
		expect_found(&comparisons[rows[i].revamp], &rows[i]);
	cr_expect_str_eq(crossed(&comparisons[0], "L-1"), "its metal passes 60.0 degC");
	cr_expect_str_eq(crossed(&comparisons[1], "C-1"), "C-1 repair R1 is not in the base");
}
