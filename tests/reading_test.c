/*
 * What the rules on metals, cracking and the solution read: the place, the metal that the fluid touches, the face that amine
 * touches, the temperature that counts. Each row has its counterpart on the other side.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
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

TestSuite(reading, .init = begin, .fini = end);

struct row {
	const char *body, *rule, *item;
	int verdict; /* -1: the rule does not select it, or does not apply */
};

static void expect(const char *amine, const struct row *rows, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		trial_review_unit(&trial, amine, rows[i].body);
		const struct finding *found = trial_finding(&trial, rows[i].rule, rows[i].item);
		int verdict = found && found->verdict != VERDICT_NOT_APPLICABLE ? (int)found->verdict : -1;
		cr_expect_eq(verdict, rows[i].verdict, "%s, %s on %s: %s, not %s: %s", rows[i].body, rows[i].rule,
			rows[i].item, verdict < 0 ? "silent" : verdict_word(found->verdict),
			rows[i].verdict < 0 ? "silent" : verdict_word((enum verdict)rows[i].verdict),
			found ? found->message : "");
	}
}

#define EXPECT(amine, rows) expect(amine, rows, COUNT(rows))
#define DEPARTS VERDICT_DEPARTS
#define MEETS VERDICT_MEETS
#define OPEN VERDICT_NOT_JUDGED
#define SILENT (-1)

#define SOUR "<gas id='g' role='feed' h2s='4 mol%' co2='2 mol%' pressure='60 barg'/>"
#define SWEET "<gas id='g' role='feed' h2s='0 mol%' co2='6 mol%' pressure='60 barg'/>"

/* ---- stress relief ---- */

#define CHANNEL(attributes)                                                                                            \
	"<exchanger tag='E' service='lean/rich'><tube-side service='lean' " attributes "/></exchanger>"
#define KETTLE(shell, tubes)                                                                                           \
	"<stream id='st' service='steam' temperature='153 degC'/><stream id='l' service='lean' temperature='%s'/>"     \
	"<reboiler tag='E' steam='st' lean='l' " shell "><tube-side " tubes "/></reboiler>"

Test(reading, stress_relief_is_of_the_metal_that_is_welded)
{
	static const struct row rows[] = {
		/* A steel channel with alloy tubes; steel tubes in an alloy channel; header of a cooler. */
		{CHANNEL("material='316L' channel-material='carbon steel' pwht='no'"), "CRK-001", "E tube side",
			DEPARTS},
		{CHANNEL("material='carbon steel' channel-material='316L' pwht='no'"), "CRK-001", "E tube side",
			SILENT},
		{CHANNEL("material='carbon steel' pwht='no'"), "CRK-001", "E tube side", DEPARTS},
		{CHANNEL("material='316L' pwht='no'"), "CRK-001", "E tube side", OPEN},
		{CHANNEL("material='316L' channel-material='carbon steel' cladding='316L' pwht='no'"), "CRK-001",
			"E tube side", SILENT},
		{"<cooler tag='E' service='lean' material='carbon steel' pwht='no'><tube-side service='lean' "
		 "material='304L'/></cooler>",
			"CRK-001", "E tube side", DEPARTS},
		/* Steel that its zones clad is told by the rule on cladding; clad in part is bare. */
		{"<vessel tag='V' service='lean' material='carbon steel' pwht='no'><zone name='upper' cladding='316L'/>"
		 "<zone name='lower' cladding='316L'/></vessel>",
			"CRK-001", "V", SILENT},
		{"<vessel tag='V' service='lean' material='carbon steel' cladding='316L' pwht='no'><zone name='lower' "
		 "cladding='none'/></vessel>",
			"CRK-001", "V", DEPARTS},
		/* A temper bead lowers hardness and leaves residual stress. */
		{"<vessel tag='V' service='lean' material='carbon steel' pwht='yes'><repair name='r' pwht='no' "
		 "temper-bead='yes'/></vessel>",
			"CRK-001", "V repair r", DEPARTS},
		{"<vessel tag='V' service='lean' material='carbon steel' pwht='yes'><repair name='r' pwht='yes' "
		 "temper-bead='yes'/></vessel>",
			"CRK-001", "V repair r", MEETS},
	};
	EXPECT("MEA", rows);
}

Test(reading, the_worst_amine_of_a_blend_decides)
{
	static const char unit[] =
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new' pwht-from='150 degC'/>"
		"<solvent amine='%s' second-amine='%s'/><line tag='P' service='lean' material='carbon steel' "
		"pwht='%s'/></unit>";
	static const struct {
		const char *amine, *second, *pwht, *rule;
		int verdict;
	} rows[] = {
		{"MDEA", "MEA", "no", "CRK-001", DEPARTS},
		{"MDEA", "MEA", "yes", "CRK-001", MEETS},
		{"MDEA", "MEA", "no", "CRK-005", SILENT},
		{"MDEA", "DIPA", "no", "CRK-003", DEPARTS},
		{"DIPA", "MEA", "no", "CRK-003", SILENT},
		{"MDEA", "DEA", "yes", "CRK-005", MEETS},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial, arena_format(&trial.arena, unit, rows[i].amine, rows[i].second, rows[i].pwht));
		const struct finding *found = trial_finding(&trial, rows[i].rule, "P");
		int verdict = found && found->verdict != VERDICT_NOT_APPLICABLE ? (int)found->verdict : -1;
		cr_expect_eq(verdict, rows[i].verdict, "%s with %s, %s: %d", rows[i].amine, rows[i].second,
			rows[i].rule, verdict);
	}
}

/* Steam condenses in the tubes: the shell has the temperature of the amine. */
Test(reading, steam_in_the_tubes_does_not_heat_the_shell)
{
	static const struct {
		const char *lean;
		int verdict;
	} rows[] = {{"75 degC", MEETS}, {"118 degC", DEPARTS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review_unit(&trial, "MDEA",
			arena_format(&trial.arena,
				KETTLE("material='carbon steel' pwht='no' traced='no' steamed-out='no'",
					"service='steam' material='316L'"),
				rows[i].lean));
		cr_expect_eq((int)trial_finding(&trial, "CRK-004", "E")->verdict, rows[i].verdict, "%s", rows[i].lean);
		/* Of its tubes the other face counts: at least as hot as the amine, and how hot the designer is asked. */
		const struct quantity *tubes = trial_value(&trial, "E tube side", NULL, "metal-temperature");
		cr_expect_eq(tubes->bound, BOUND_ABOVE);
		cr_expect_float_eq(trial_value(&trial, "E tube side", NULL, "metal-reaches")->si,
			i ? 118 + 273.15 : 75 + 273.15, 1e-9);
	}
}

Test(reading, bottoms_and_kettles_heat_their_metal)
{
	static const struct row rows[] = {
		{"<regenerator tag='C' material='carbon steel' pwht='no' bottom-temperature='119 degC' traced='no' "
		 "steamed-out='no'/>",
			"CRK-004", "C", DEPARTS},
		{"<regenerator tag='C' material='carbon steel' pwht='no' bottom-temperature='70 degC' traced='no' "
		 "steamed-out='no'/>",
			"CRK-004", "C", MEETS},
		{"<regenerator tag='C' bottom-temperature='119 degC' design-temperature='110 degC'/>", "DAT-008", "C",
			DEPARTS},
		{"<reboiler tag='E' bulk-temperature='119 degC' design-temperature='150 degC'/>", "DAT-008", "E",
			MEETS},
		{"<vessel tag='V' service='lean' temperature='50 degC' upset-temperature='150 degC' "
		 "design-temperature='60 degC'/>",
			"DAT-008", "V", DEPARTS},
		{"<vessel tag='V' service='lean' temperature='50 degC' design-temperature='60 degC'/>", "DAT-008", "V",
			MEETS},
	};
	EXPECT("MDEA", rows);
}

/* ---- wet H2S ---- */

Test(reading, hardness_is_asked_for_where_hydrogen_is)
{
	static const struct row rows[] = {
		{SOUR "<line tag='P' service='acid gas' material='carbon steel' hardness-weld='300 HBW'/>", "CRK-015",
			"P", DEPARTS},
		{SOUR "<reflux-drum tag='P' material='carbon steel' hardness-weld='190 HBW'/>", "CRK-015", "P", MEETS},
		{SOUR "<reflux-drum tag='P' material='carbon steel'/>", "CRK-016", "P", OPEN},
		{SOUR "<line tag='P' service='steam' material='carbon steel' hardness-weld='300 HBW'/>", "CRK-015", "P",
			SILENT},
		{SWEET "<line tag='P' service='rich' material='carbon steel' hardness-weld='300 HBW'/>", "CRK-015", "P",
			SILENT},
		/* Nobody says whether there is H2S: there is. */
		{"<line tag='P' service='rich' material='carbon steel' hardness-weld='300 HBW'/>", "CRK-015", "P",
			DEPARTS},
		{SOUR "<vessel tag='V' service='rich' material='carbon steel'><bolting hardness='30 HRC' "
		      "material='low-alloy steel' covered='yes'/></vessel>",
			"CRK-018", "V bolting", DEPARTS},
		{SWEET "<vessel tag='V' service='rich' material='carbon steel'><bolting hardness='30 HRC' "
		       "material='low-alloy steel' covered='yes'/></vessel>",
			"CRK-018", "V bolting", SILENT},
		{SOUR "<vessel tag='V' service='rich' material='316L'><repair name='r' "
		      "bake-out-before-welding='no'/></vessel>",
			"FAB-002", "V repair r", SILENT},
		{SOUR "<vessel tag='V' service='rich' material='carbon steel'><repair name='r' "
		      "bake-out-before-welding='no'/></vessel>",
			"FAB-002", "V repair r", DEPARTS},
	};
	EXPECT("MDEA", rows);
}

#define TOWER(attributes, zones) "<regenerator tag='C' material='carbon steel' " attributes ">" zones "</regenerator>"

Test(reading, plate_is_judged_where_it_stands_bare)
{
	static const struct row rows[] = {
		{SOUR TOWER("hic-tested='no'", ""), "WHS-003", "C", DEPARTS},
		{SOUR TOWER("hic-tested='no'", "<zone name='top' cladding='316L'/>"), "WHS-003", "C", MEETS},
		{SOUR TOWER("hic-tested='no'", "<zone name='top' material='316L'/>"), "WHS-003", "C", MEETS},
		{SOUR TOWER("hic-tested='no'", "<zone name='top' hic-tested='yes'/>"), "WHS-003", "C", MEETS},
		{SOUR TOWER("hic-tested='no'", "<zone name='bottom' cladding='316L'/>"), "WHS-003", "C", DEPARTS},
		{SOUR TOWER("hic-tested='no'", "<zone name='top' cladding='316L'/><zone name='head' cladding='none'/>"),
			"WHS-003", "C", DEPARTS},
		{SWEET TOWER("hic-tested='no'", ""), "WHS-003", "C", SILENT},
		{SOUR "<flash-drum tag='V' material='carbon steel' hic-tested='no' cladding='316L'/>", "WHS-002", "V",
			MEETS},
		{SOUR "<flash-drum tag='V' material='carbon steel' hic-tested='no' cladding='316L'><zone name='bottom' "
		      "cladding='none'/></flash-drum>",
			"WHS-002", "V", DEPARTS},
		{SWEET "<flash-drum tag='V' material='carbon steel' hic-tested='no'/>", "WHS-002", "V", SILENT},
		{SWEET "<reflux-drum tag='V' material='carbon steel' hic-tested='no'/>", "WHS-004", "V", SILENT},
		{SOUR "<reflux-drum tag='V' material='carbon steel' hic-tested='no'/>", "WHS-004", "V", DEPARTS},
		{SOUR "<absorber tag='C' gas='g'><zone name='upper' material='carbon steel' hic-tested='no'/><zone "
		      "name='lower' material='carbon steel'/></absorber>",
			"WHS-001", "C", OPEN},
		/* A dry gas wets no drum. */
		{"<gas id='g' role='feed' h2s='4 mol%' co2='2 mol%' pressure='60 barg' water-saturated='no'/>"
		 "<knock-out-drum tag='V' gas='g' material='carbon steel' hic-tested='no'/>",
			"WHS-001", "V", SILENT},
		{SOUR "<knock-out-drum tag='V' gas='g' material='carbon steel' hic-tested='no'/>", "WHS-001", "V",
			DEPARTS},
		/* Plate of the reflux drum is plate too. */
		{SOUR "<reflux-drum tag='V' material='carbon steel' sulfur-content='0.03 wt%'/>", "WHS-006", "V",
			DEPARTS},
		{SWEET "<reflux-drum tag='V' material='carbon steel' sulfur-content='0.03 wt%'/>", "WHS-006", "V",
			SILENT},
	};
	EXPECT("MDEA", rows);
}

Test(reading, blisters_are_met_only_where_somebody_looked)
{
	static const struct row rows[] = {
		{"<line tag='P' service='rich' material='carbon steel'/>", "WHS-008", "P", SILENT},
		{"<line tag='P' service='rich' material='carbon steel' blisters-found='no'/>", "WHS-008", "P", MEETS},
		{"<line tag='P' service='rich' material='carbon steel' blisters-found='yes'/>", "WHS-008", "P",
			DEPARTS},
	};
	EXPECT("MDEA", rows);
}

/* ---- metals ---- */

Test(reading, metals_are_judged_on_the_face_that_is_wetted)
{
	static const struct row rows[] = {
		/* Tubes, wherever they are stated. */
		{"<cooler tag='E' cooling-medium='sea water' material='carbon steel'><tube-side material='titanium'/>"
		 "</cooler>",
			"MAT-028", "E", MEETS},
		{"<cooler tag='E' cooling-medium='sea water' material='carbon steel'><part name='tubes' "
		 "material='2507'/></cooler>",
			"MAT-028", "E", MEETS},
		{"<cooler tag='E' cooling-medium='sea water'><tube-side material='2205'/></cooler>", "MAT-028", "E",
			DEPARTS},
		{"<cooler tag='E' cooling-medium='sea water'><tube-side/></cooler>", "MAT-028", "E", OPEN},
		{"<exchanger tag='E' service='trim cooler' cooling-medium='sea water' type='plate'><plate-side "
		 "material='316L'/></exchanger>",
			"MAT-028", "E", DEPARTS},
		{"<reboiler tag='E' material='carbon steel'><tube-side/><part name='tube bundle' material='316L'/>"
		 "</reboiler>",
			"MAT-026", "E tube side", MEETS},
		{"<reboiler tag='E' material='carbon steel'><tube-side/></reboiler>", "MAT-026", "E tube side", OPEN},
		{"<reboiler tag='E' material='316L'><tube-side material='carbon steel'/></reboiler>", "MAT-026",
			"E tube side", DEPARTS},
		{"<reboiler tag='E' type='fired'><tube-side material='carbon steel'/></reboiler>", "MAT-026",
			"E tube side", SILENT},
		/* Copper in the overhead; fins in the air. */
		{"<line tag='P' service='acid gas' material='brass'/>", "MAT-001", "P", DEPARTS},
		{"<line tag='P' service='cooling water' material='brass'/>", "MAT-001", "P", SILENT},
		{"<cooler tag='E' service='lean'><tube-side service='lean' material='304L'/><part name='fins' "
		 "service='air' material='aluminium'/></cooler>",
			"MAT-001", "E part fins", SILENT},
		{"<cooler tag='E' service='lean'><tube-side service='cooling water' material='cupronickel'/></cooler>",
			"MAT-001", "E tube side", DEPARTS},
		{"<condenser tag='E'><tube-side service='cooling water' material='admiralty brass'/></condenser>",
			"MAT-001", "E tube side", DEPARTS},
		{"<stream id='w' service='make-up water'/><pump tag='G' service='make-up' stream='w' impeller='bronze' "
		 "casing='carbon steel'/>",
			"MAT-003", "G", SILENT},
		{"<pump tag='G' service='make-up' impeller='bronze' casing='carbon steel'/>", "MAT-003", "G", DEPARTS},
		/* A clad line is no carbon steel line. */
		{"<line tag='P' service='rich' material='carbon steel' cladding='316L' temperature='112 degC'/>",
			"TMP-001", "P", SILENT},
		{"<line tag='P' service='rich' material='carbon steel' temperature='112 degC'/>", "TMP-001", "P",
			DEPARTS},
		{"<line tag='P' place='reboiler return' material='carbon steel' cladding='304L'/>", "MAT-015", "P",
			MEETS},
		{"<line tag='P' place='reboiler return' material='carbon steel'/>", "MAT-015", "P", DEPARTS},
		{"<exchanger tag='E' service='lean/rich'><tube-side service='rich' channel-material='carbon steel' "
		 "cladding='316L' material='316L'/></exchanger>",
			"MAT-020", "E tube side", MEETS},
		/* Caustic meets the metal of the line it goes into. */
		{"<line tag='P' service='lean' material='316L'><injection tag='I' what='caustic' temperature='90 "
		 "degC'/>"
		 "</line>",
			"CRK-023", "I", SILENT},
		{"<line tag='P' service='lean' material='carbon steel'><injection tag='I' what='caustic' "
		 "temperature='90 degC'/></line>",
			"CRK-023", "I", DEPARTS},
		{"<stream id='s' service='lean'/><line tag='P' stream='s' material='316L'/><line tag='Q' stream='s' "
		 "material='carbon steel'/><vessel tag='V'><injection tag='I' into='s' what='caustic' "
		 "temperature='90 degC'/></vessel>",
			"CRK-023", "I", DEPARTS},
	};
	EXPECT("MDEA", rows);
}

Test(reading, chloride_is_judged_on_the_stainless_steel_that_amine_touches)
{
	static const char unit[] = "<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'/>"
				   "<solvent amine='MDEA' chloride='900 ppmw'/>%s</unit>";
	static const struct row rows[] = {
		{"<reboiler tag='E' bulk-temperature='120 degC'><tube-side service='steam' "
		 "material='316L'/></reboiler>",
			"LOD-015", "E tube side", DEPARTS},
		{"<exchanger tag='E' service='feed gas heater'><tube-side service='steam' material='316L'/><shell-side "
		 "service='sour gas' material='carbon steel'/></exchanger>",
			"LOD-015", "E tube side", SILENT},
		{"<line tag='P' service='lean' material='carbon steel' cladding='316L'/>", "LOD-015", "P", DEPARTS},
		{"<line tag='P' service='lean' material='316L' cladding='625'/>", "LOD-015", "P", SILENT},
		{"<line tag='P' service='lean' material='carbon steel'/>", "LOD-015", "P", SILENT},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial, arena_format(&trial.arena, unit, rows[i].body));
		const struct finding *found = trial_finding(&trial, rows[i].rule, rows[i].item);
		int verdict = found && found->verdict != VERDICT_NOT_APPLICABLE ? (int)found->verdict : -1;
		cr_expect_eq(verdict, rows[i].verdict, "%s: %d", rows[i].body, verdict);
	}
}

/* ---- temperature, solution ---- */

#define REBOILER(attributes) "<reboiler tag='E' type='kettle' " attributes "/>"

Test(reading, what_heats_a_reboiler_decides_its_rules)
{
	static const struct row rows[] = {
		{REBOILER("heating-medium='hot oil' skin-temperature='190 degC'"), "TMP-005", "E", DEPARTS},
		{REBOILER("heating-medium='hot oil'"), "TMP-005", "E", OPEN},
		{REBOILER("hot-oil-temperature='270 degC' skin-temperature='160 degC'"), "TMP-005", "E", MEETS},
		/* A skin that is stated is looked at, whatever heats it; it is asked for only where a hot medium may pass the limit. */
		{REBOILER("heating-medium='steam' skin-temperature='190 degC'"), "TMP-005", "E", DEPARTS},
		{REBOILER("steam-pressure='3.5 barg' skin-temperature='150 degC'"), "TMP-005", "E", MEETS},
		{REBOILER("steam-pressure='3.5 barg'"), "TMP-005", "E", SILENT},
		{REBOILER("heating-medium='process stream'"), "TMP-005", "E", OPEN},
		/* A pressure that is stated does not take the temperature away. */
		{REBOILER("steam-temperature='190 degC'"), "TMP-007", "E", DEPARTS},
		{REBOILER("steam-temperature='190 degC' steam-pressure='3.5 barg'"), "TMP-007", "E", DEPARTS},
		{REBOILER("steam-temperature='190 degC' steam-pressure='7 barg'"), "TMP-006", "E", DEPARTS},
		{REBOILER("steam-temperature='148 degC' steam-pressure='3.5 barg'"), "TMP-007", "E", MEETS},
	};
	EXPECT("MDEA", rows);
}

#define LEAN(degrees) "<stream id='l' service='lean' temperature='" degrees "'/><absorber tag='C' gas='g' lean='l'/>"
#define GAS(contents) "<gas id='g' role='feed' temperature='40 degC' pressure='30 barg' " contents "/>"

Test(reading, figures_are_for_the_service_they_were_made_for)
{
	static const struct row rows[] = {
		{GAS("h2s='1 mol%' co2='2 mol%'") LEAN("41 degC"), "TMP-012", "C", DEPARTS},
		{GAS("h2s='1 mol%' co2='2 mol%' hydrocarbon-dew-point='-20 degC'") LEAN("41 degC"), "TMP-012", "C",
			MEETS},
		{GAS("h2s='1 mol%' co2='2 mol%' hydrocarbon-dew-point='38 degC'") LEAN("41 degC"), "TMP-012", "C",
			DEPARTS},
		{GAS("h2s='1 mol%' co2='2 mol%'") LEAN("63 degC"), "TMP-011", "C", DEPARTS},
		{GAS("h2s='0 mol%' co2='9 mol%'") LEAN("63 degC"), "TMP-011", "C", SILENT},
		{"<gas id='g' role='feed' source='flue' o2='6 mol%'/>", "LOD-018", "g", SILENT},
		{"<gas id='g' role='feed' source='coker' o2='200 ppmv'/>", "LOD-018", "g", DEPARTS},
		{"<monitoring><coupon tag='K' place='cold lean' corrosion-rate='2.5 mm/y'/></monitoring>", "MON-002",
			"K", DEPARTS},
		{"<monitoring><coupon tag='K' place='cold lean' corrosion-rate='0.02 mm/y'/></monitoring>", "MON-002",
			"K", MEETS},
		{"<tank tag='T' blanket='nitrogen'/>", "STO-001", "T", OPEN},
		{"<tank tag='T' blanket='nitrogen' open-vent='no'/>", "STO-001", "T", MEETS},
	};
	EXPECT("MDEA", rows);
}

#define RICH(tubes, tower, line)                                                                                       \
	"<stream id='r' service='rich' loading='0.55'/>"                                                               \
	"<absorber tag='C-1' rich='r' material='carbon steel'/>"                                                       \
	"<exchanger tag='E' service='lean/rich'><tube-side service='rich' material='" tubes "'/></exchanger>"          \
	"<regenerator tag='C-2' feed='r' material='" tower "'/><line tag='P' stream='r' material='" line "'/>"

/* A loading for carbon steel: no hot rich solution touches any where exchanger, line and tower are of alloy. */
Test(reading, a_loading_for_carbon_steel_needs_carbon_steel)
{
	static const struct row rows[] = {
		{RICH("316L", "carbon steel", "316L"), "LOD-003", "r", DEPARTS},
		{RICH("316L", "316L", "carbon steel"), "LOD-003", "r", DEPARTS},
		{RICH("316L", "316L", "316L"), "LOD-003", "r", SILENT},
		{RICH("316L", "carbon steel' cladding='316L", "316L"), "LOD-003", "r", SILENT},
		{"<stream id='r' service='rich' loading='0.55'/>", "LOD-003", "r", DEPARTS},
	};
	EXPECT("MDEA", rows);
}

/* ---- how far H2S and the solution reach ---- */

#define TWO_GASES                                                                                                      \
	"<gas id='g1' role='feed' h2s='9 mol%' co2='1 mol%'/><gas id='g2' role='feed' h2s='0.01 mol%' co2='8 mol%'/>"  \
	"<stream id='r' service='rich' h2s='0.40' co2='0.02' temperature='95 degC'/>"

/* The poorest gas of a unit says nothing of what another solution holds. */
Test(reading, the_share_of_h2s_is_that_of_what_wets_the_metal)
{
	static const struct row rows[] = {
		{TWO_GASES "<line tag='P' stream='r' material='carbon steel'/>", "MAT-021", "P", MEETS},
		{TWO_GASES "<line tag='P' service='rich' temperature='95 degC' material='carbon steel'/>", "MAT-021",
			"P", DEPARTS},
		{TWO_GASES "<absorber tag='C' gas='g1'><internals kind='trays' material='410'/></absorber>", "MAT-016",
			"C internals", MEETS},
		{TWO_GASES "<absorber tag='C' gas='g2'><internals kind='trays' material='410'/></absorber>", "MAT-016",
			"C internals", DEPARTS},
		{TWO_GASES "<regenerator tag='C' feed='r'><internals kind='trays' material='410'/></regenerator>",
			"MAT-016", "C internals", MEETS},
		{TWO_GASES "<regenerator tag='C'><internals kind='trays' material='410'/></regenerator>", "MAT-016",
			"C internals", DEPARTS},
	};
	EXPECT("DEA", rows);
}

#define WATER "<stream id='w' service='reflux' ph='9.2' carbonate='400 ppmw' hcn='45 ppmw'/>"

Test(reading, water_is_judged_by_the_steel_it_wets)
{
	static const struct row rows[] = {
		{WATER "<line tag='P' stream='w' material='carbon steel' pwht='no'/>", "WHS-012", "w", DEPARTS},
		{WATER "<line tag='P' stream='w' material='carbon steel' pwht='yes'/>", "WHS-012", "w", SILENT},
		{WATER "<line tag='P' stream='w' material='316L'/>", "WHS-012", "w", SILENT},
		{WATER "<line tag='P' stream='w' material='316L'/><reflux-drum tag='V' reflux='w' material='carbon "
		       "steel' "
		       "pwht='no'/>",
			"WHS-012", "w", DEPARTS},
		{WATER "<line tag='P' stream='w' material='316L'/><reflux-drum tag='V' reflux='w'/>", "WHS-012", "w",
			DEPARTS},
		{WATER, "WHS-012", "w", DEPARTS},
		{WATER "<reflux-drum tag='V' reflux='w' material='316L'/>", "WHS-012", "w", DEPARTS},
		{WATER "<line tag='P' stream='w' material='carbon steel' pwht='yes'/>", "WHS-009", "w", DEPARTS},
		{WATER "<line tag='P' stream='w' material='carbon steel' cladding='316L'/>", "WHS-009", "w", SILENT},
	};
	EXPECT("MDEA", rows);
}

Test(reading, the_holding_time_goes_by_the_weld_it_was_set_by)
{
	static const struct row rows[] = {
		{"<vessel tag='V' service='lean' material='carbon steel' pwht='yes' pwht-hold='2.5 h' thickness='80 "
		 "mm'/>",
			"CRK-012", "V", DEPARTS},
		{"<vessel tag='V' service='lean' material='carbon steel' pwht='yes' pwht-hold='2.5 h' thickness='80 "
		 "mm' "
		 "pwht-hold-thickness='60 mm'/>",
			"CRK-012", "V", MEETS},
		{"<vessel tag='V' service='lean' material='carbon steel' pwht='yes' pwht-hold='1.5 h'/>", "CRK-012",
			"V", OPEN},
	};
	EXPECT("MDEA", rows);
}
