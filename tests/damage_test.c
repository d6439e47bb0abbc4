/*
 * The damage table: what makes each mechanism credible and what takes it away; that it never speaks against a stress relief
 * that a rule asks for; that nothing unknown counts as harmless.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "judge/damage.h"
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

TestSuite(damage, .init = begin, .fini = end);

static const struct damage_answer *answer(const char *tag, enum mechanism mechanism)
{
	for (size_t i = 0; i < trial.review->damage_count; i++)
		if (strcmp(trial.review->damage[i].item->tag, tag) == 0)
			return &trial.review->damage[i].answers[mechanism];
	cr_assert_fail("%s is not in the damage table", tag);
	return NULL;
}

static void expect(const char *amine, const char *body, const char *tag, enum mechanism mechanism, enum truth credible)
{
	trial_review_unit(&trial, amine, body);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	const struct damage_answer *found = answer(tag, mechanism);
	cr_expect(found->credible == credible, "%s, %s: %d, not %d: %s", body, mechanisms[mechanism].name,
		(int)found->credible, (int)credible, found->why);
	cr_expect(*found->why);
}

#define LINE(attributes) "<line tag='P' " attributes "/>"

Test(damage, each_mechanism_has_what_makes_it_and_what_takes_it_away)
{
	static const struct {
		const char *body;
		enum mechanism mechanism;
		enum truth credible;
	} rows[] = {
		{LINE("service='lean' material='carbon steel' pwht='no'"), MECHANISM_AMINE_CRACKING, YES},
		{LINE("service='rich' material='carbon steel' pwht='no'"), MECHANISM_AMINE_CRACKING, YES},
		/* What was found is not explained away by a treatment. */
		{LINE("service='lean' material='carbon steel' pwht='yes' cracks-found='yes'"), MECHANISM_AMINE_CRACKING,
			YES},
		{LINE("service='lean' material='carbon steel' pwht='yes' cracks-found='no'"), MECHANISM_AMINE_CRACKING,
			NO},
		/* Clad by its zones, by the item, in part. */
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='no'><zone name='upper' "
		 "cladding='316L'/><zone name='lower' cladding='316L'/></vessel>",
			MECHANISM_HIC, NO},
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='no' cladding='316L'><zone "
		 "name='lower' cladding='none'/></vessel>",
			MECHANISM_HIC, YES},
		{LINE("service='rich' material='carbon steel' cladding='625' temperature='95 degC'"),
			MECHANISM_CHLORIDE, NO},
		{LINE("service='rich' material='carbon steel' cladding='316L' temperature='95 degC'"),
			MECHANISM_CHLORIDE, YES},
		{LINE("service='lean' material='carbon steel'"), MECHANISM_AMINE_CRACKING, PERHAPS},
		{LINE("service='lean' material='carbon steel' pwht='yes'"), MECHANISM_AMINE_CRACKING, NO},
		{LINE("service='lean' material='carbon steel' pwht='no' cladding='316L'"), MECHANISM_AMINE_CRACKING,
			YES},
		{LINE("service='lean' material='316L'"), MECHANISM_AMINE_CRACKING, NO},
		{LINE("service='lean'"), MECHANISM_AMINE_CRACKING, PERHAPS},
		{LINE("service='rich' material='carbon steel' hardness-weld='230 HBW'"), MECHANISM_SULFIDE_CRACKING,
			YES},
		{LINE("service='rich' material='carbon steel'"), MECHANISM_SULFIDE_CRACKING, PERHAPS},
		{LINE("service='rich' material='carbon steel' hardness-weld='190 HBW' hardness-haz='230 HV'"),
			MECHANISM_SULFIDE_CRACKING, NO},
		{LINE("service='lean' material='carbon steel' hardness-weld='230 HBW'"), MECHANISM_SULFIDE_CRACKING,
			NO},
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='no'/>", MECHANISM_HIC, YES},
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='no' pwht='yes'/>", MECHANISM_HIC,
			YES},
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='yes'/>", MECHANISM_HIC, NO},
		{"<vessel tag='P' service='rich' material='carbon steel'/>", MECHANISM_HIC, PERHAPS},
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='no' pwht='no'/>", MECHANISM_SOHIC,
			YES},
		{LINE("service='lean' material='316L' temperature='60 degC'"), MECHANISM_CHLORIDE, YES},
		{LINE("service='lean' material='316L' temperature='59 degC'"), MECHANISM_CHLORIDE, NO},
		{LINE("service='lean' material='316L' temperature='140 degF'"), MECHANISM_CHLORIDE, YES},
		{LINE("service='lean' material='316L'"), MECHANISM_CHLORIDE, PERHAPS},
		{LINE("service='lean' material='316L' temperature='49 degC' insulated='yes'"), MECHANISM_INSULATION,
			YES},
		{LINE("service='lean' material='316L' temperature='48 degC' insulated='yes'"), MECHANISM_INSULATION,
			NO},
		{LINE("service='lean' material='316L' temperature='149 degC' insulated='yes'"), MECHANISM_INSULATION,
			YES},
		{LINE("service='lean' material='316L' temperature='90 degC' insulated='no'"), MECHANISM_INSULATION, NO},
		{LINE("service='lean' material='carbon steel' temperature='60 degC'"), MECHANISM_AMINE_CORROSION, YES},
		{LINE("service='lean' material='carbon steel' temperature='45 degC'"), MECHANISM_AMINE_CORROSION, NO},
		{LINE("service='rich' material='carbon steel' velocity='1 m/s'"), MECHANISM_EROSION, YES},
		{LINE("service='rich' material='carbon steel' velocity='0.8 m/s'"), MECHANISM_EROSION, NO},
		{LINE("service='rich' material='carbon steel' velocity='0.8 m/s' two-phase='yes'"), MECHANISM_EROSION,
			YES},
		{LINE("service='rich' material='carbon steel'"), MECHANISM_EROSION, PERHAPS},
		{LINE("service='acid gas' material='carbon steel'"), MECHANISM_ACID_WATER, YES},
		{LINE("service='lean' material='carbon steel'"), MECHANISM_ACID_WATER, NO},
		{LINE("service='reflux' material='316L'"), MECHANISM_BISULFIDE, PERHAPS},
		{LINE("service='lean' material='316L'"), MECHANISM_BISULFIDE, NO},
		{"<tank tag='P' blanket='none' material='304L'/>", MECHANISM_OXYGEN, YES},
		{"<tank tag='P' blanket='nitrogen' material='304L'/>", MECHANISM_OXYGEN, NO},
		{"<tank tag='P' material='304L'/>", MECHANISM_OXYGEN, PERHAPS},
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		expect("MDEA", rows[i].body, "P", rows[i].mechanism, rows[i].credible);
}

/* What is said beside the answer, at the borders that published figures set (damage.c names their sources). */
/* Tubes on steam or oil are wetted by amine on their other face, at its temperature; a channel on that side is not. */
Test(damage, tubes_heated_from_inside_stand_in_amine)
{
	expect("MDEA",
		"<reboiler tag='E' bulk-temperature='120 degC'><tube-side service='steam' material='316L'/></reboiler>",
		"E tube side", MECHANISM_CHLORIDE, YES);
	expect("MDEA",
		"<reboiler tag='E' bulk-temperature='55 degC'><tube-side service='hot oil' temperature='280 degC' "
		"material='316L'/></reboiler>",
		"E tube side", MECHANISM_CHLORIDE, NO);
	expect("MDEA",
		"<reboiler tag='E' bulk-temperature='120 degC'><tube-side service='hot oil' material='carbon steel'/>"
		"</reboiler>",
		"E tube side", MECHANISM_AMINE_CORROSION, YES);
	expect("MDEA",
		"<reboiler tag='E' bulk-temperature='120 degC'><tube-side service='hot oil' material='carbon steel' "
		"channel-material='carbon steel' pwht='no'/></reboiler>",
		"E tube side", MECHANISM_AMINE_CRACKING, NO);
}

/* Insulated stainless: one case above the window of 49 to 149 degC does not hide another within it. */
Test(damage, a_window_is_held_against_each_steady_case)
{
	static const char design[] =
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='a'/><case id='b'/></basis>"
		"<solvent amine='MDEA'/><line tag='P' service='lean' material='316L' insulated='yes' "
		"external-coating='no' "
		"traced='no' steamed-out='no' temperature='160 degC'><in case='b' temperature='%s'/></line></unit>";
	static const struct {
		const char *other;
		enum truth credible;
	} rows[] = {{"120 degC", YES}, {"155 degC", NO}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial, arena_format(&trial.arena, design, rows[i].other));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		cr_expect_eq(answer("P", MECHANISM_INSULATION)->credible, rows[i].credible, "%s", rows[i].other);
		cr_expect_eq(trial_finding(&trial, "CRK-022", "P")->verdict,
			rows[i].credible == YES ? VERDICT_DEPARTS : VERDICT_MEETS, "%s", rows[i].other);
	}
}

static void expect_reason(const char *amine, const char *body, const char *tag, enum mechanism mechanism,
	enum truth credible, const char *why)
{
	expect(amine, body, tag, mechanism, credible);
	const struct damage_answer *found = answer(tag, mechanism);
	cr_expect(strstr(found->why, why) != NULL, "%s, %s: '%s', not '%s'", body, mechanisms[mechanism].name,
		found->why, why);
}

Test(damage, as_welded_steel_is_put_in_an_order_by_amine_and_heat)
{
	static const struct {
		const char *amine, *temperature, *why;
	} rows[] = {
		{"MEA", "82 degC", "in lean MEA, among the first"},
		{"MEA", "81 degC", "to inspect next"},
		{"MEA", "38 degC", "to inspect next"},
		{"MEA", "37 degC", "after those"},
		{"DIPA", "82 degC", "among the first"},
		{"DIPA", "37 degC", "after those"},
		{"DEA", "82 degC", "to inspect next"},
		{"DEA", "81 degC", "after those"},
		{"MDEA", "60 degC", "in lean MDEA, to inspect next"},
		{"MDEA", "59 degC", "after those"},
		{"MDEA", "&lt;50 degC", "among the first"},
	};
	struct arena arena = {0};
	for (size_t i = 0; i < COUNT(rows); i++)
		expect_reason(rows[i].amine,
			arena_format(&arena,
				"<line tag='P' service='lean' material='carbon steel' pwht='no' steamed-out='no' "
				"traced='no' "
				"temperature='%s'/>",
				rows[i].temperature),
			"P", MECHANISM_AMINE_CRACKING, YES, rows[i].why);
	expect_reason("MDEA", LINE("service='lean' material='carbon steel' pwht='no'"), "P", MECHANISM_AMINE_CRACKING,
		YES, "among the first");
	arena_release(&arena);
}

Test(damage, the_reason_names_what_decides)
{
	static const struct {
		const char *body;
		enum mechanism mechanism;
		enum truth credible;
		const char *why;
	} rows[] = {
		{LINE("material='carbon steel' pwht='no'"), MECHANISM_AMINE_CRACKING, PERHAPS,
			"stream or service is not stated"},
		{LINE("service='sour gas' material='carbon steel' pwht='no'"), MECHANISM_AMINE_CRACKING, NO,
			"no amine reaches it"},
		{LINE("service='lean' material='carbon steel'"), MECHANISM_AMINE_CRACKING, PERHAPS,
			"pwht is not stated"},
		{LINE("service='lean' material='carbon steel' pwht='t.b.d.'"), MECHANISM_AMINE_CRACKING, PERHAPS,
			"pwht is t.b.d."},
		/* A record that is lost will not come: steel counts as welded, and what was stated beside it still does. */
		{LINE("service='lean' material='carbon steel' pwht='not recorded'"), MECHANISM_AMINE_CRACKING, YES,
			"no record of stress relief"},
		{LINE("service='lean' material='316L' pwht='not recorded'"), MECHANISM_AMINE_CRACKING, NO,
			"austenitic"},
		{LINE("service='rich' material='carbon steel' hardness-weld='not recorded' hardness-haz='240 HV'"),
			MECHANISM_SULFIDE_CRACKING, PERHAPS, "hardness-weld is not on record"},
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='t.b.d.'/>", MECHANISM_HIC, PERHAPS,
			"hic-tested is t.b.d."},
		{LINE("service='lean' material='carbon steel' pwht='yes'"), MECHANISM_AMINE_CRACKING, NO,
			"stress relieved"},
		{LINE("service='lean' material='carbon steel' pwht='no' cladding='316L'"), MECHANISM_AMINE_CRACKING,
			YES, "behind cladding"},
		{LINE("service='lean' material='carbon steel' pwht='no' cladding='none'"), MECHANISM_AMINE_CRACKING,
			YES, "in lean MDEA"},
		{LINE("service='rich' material='carbon steel' pwht='no'"), MECHANISM_AMINE_CRACKING, YES,
			"in rich MDEA"},
		{LINE("service='lean' material='low-alloy steel' pwht='no'"), MECHANISM_AMINE_CRACKING, YES,
			"in lean MDEA"},
		{LINE("service='lean' material='316L'"), MECHANISM_AMINE_CRACKING, NO,
			"austenitic: this is a mechanism"},

		/* 200 HBW, 248 HV, 22 HRC are allowed, more is not; weld and heat-affected zone each count */
		{LINE("service='rich' material='carbon steel' hardness-weld='200 HBW' hardness-haz='248 HV'"),
			MECHANISM_SULFIDE_CRACKING, NO, "is within its limits"},
		{LINE("service='rich' material='carbon steel' hardness-weld='201 HBW' hardness-haz='248 HV'"),
			MECHANISM_SULFIDE_CRACKING, YES, "harder"},
		{LINE("service='rich' material='carbon steel' hardness-weld='200 HBW' hardness-haz='249 HV'"),
			MECHANISM_SULFIDE_CRACKING, YES, "harder"},
		{LINE("service='rich' material='carbon steel' hardness-weld='22 HRC' hardness-haz='22 HRC'"),
			MECHANISM_SULFIDE_CRACKING, NO, "is within its limits"},
		{LINE("service='rich' material='carbon steel' hardness-weld='23 HRC' hardness-haz='22 HRC'"),
			MECHANISM_SULFIDE_CRACKING, YES, "harder"},
		{LINE("service='rich' material='carbon steel' hardness-haz='249 HV'"), MECHANISM_SULFIDE_CRACKING, YES,
			"harder"},
		{LINE("service='rich' material='carbon steel' hardness-weld='190 HBW'"), MECHANISM_SULFIDE_CRACKING,
			PERHAPS, "hardness-haz is not stated"},
		{LINE("service='rich' material='carbon steel' hardness-haz='240 HV'"), MECHANISM_SULFIDE_CRACKING,
			PERHAPS, "hardness-weld is not stated"},
		{LINE("material='carbon steel' hardness-haz='240 HV'"), MECHANISM_SULFIDE_CRACKING, PERHAPS,
			"stream or service"},
		{LINE("service='rich' hardness-haz='260 HV'"), MECHANISM_SULFIDE_CRACKING, PERHAPS,
			"material is not stated"},
		{LINE("service='rich' material='carbon steel' cladding='316L' hardness-haz='260 HV'"),
			MECHANISM_SULFIDE_CRACKING, NO, "clad with 316L"},
		{LINE("service='sour gas' material='carbon steel' hardness-haz='260 HV'"), MECHANISM_SULFIDE_CRACKING,
			YES, "harder"},
		{LINE("service='flash gas' material='carbon steel' hardness-haz='260 HV'"), MECHANISM_SULFIDE_CRACKING,
			YES, "harder"},
		{LINE("service='acid gas' material='carbon steel' hardness-haz='260 HV'"), MECHANISM_SULFIDE_CRACKING,
			YES, "harder"},
		{LINE("service='sour water' material='carbon steel' hardness-haz='260 HV'"), MECHANISM_SULFIDE_CRACKING,
			YES, "harder"},
		{LINE("service='lean' material='carbon steel' hardness-haz='260 HV'"), MECHANISM_SULFIDE_CRACKING, NO,
			"no water containing H2S"},
		{"<flash-drum tag='P' material='carbon steel' hardness-haz='260 HV'/>", MECHANISM_SULFIDE_CRACKING, YES,
			"harder"},
		{"<condenser tag='P' material='carbon steel' hardness-haz='260 HV'/>", MECHANISM_SULFIDE_CRACKING, YES,
			"harder"},
		{"<knock-out-drum tag='P' material='carbon steel' hardness-haz='260 HV'/>", MECHANISM_SULFIDE_CRACKING,
			YES, "harder"},
		{"<knock-out-drum tag='P' material='carbon steel' pwht='no'/>", MECHANISM_AMINE_CRACKING, NO,
			"no amine reaches it"},
		{"<gas id='G' role='feed' h2s='0 mol%' co2='5 mol%'/>" LINE(
			 "service='rich' material='carbon steel' hardness-haz='260 HV'"),
			MECHANISM_SULFIDE_CRACKING, NO, "no water containing H2S"},
		{"<gas id='G' role='feed' h2s='1 mol%' co2='5 mol%'/>" LINE(
			 "service='rich' material='carbon steel' hardness-haz='260 HV'"),
			MECHANISM_SULFIDE_CRACKING, YES, "harder"},

		{"<vessel tag='P' service='rich' material='carbon steel' seamless='yes' hic-tested='no'/>",
			MECHANISM_HIC, NO, "seamless"},
		{"<vessel tag='P' service='rich' material='carbon steel' blisters-found='yes' hic-tested='yes'/>",
			MECHANISM_HIC, YES, "blisters were found"},
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='yes'/>", MECHANISM_HIC, NO,
			"plate tested for it"},
		{LINE("service='rich' material='carbon steel'"), MECHANISM_HIC, NO, "pipe, tube or casting"},
		{LINE("service='rich' material='carbon steel' hic-tested='no'"), MECHANISM_HIC, YES, "not tested"},
		{"<vessel tag='P' service='rich' material='carbon steel'/>", MECHANISM_HIC, PERHAPS,
			"hic-tested is not stated"},
		{"<vessel tag='P' service='rich' material='carbon steel' pwht='yes'/>", MECHANISM_SOHIC, PERHAPS,
			"hic-tested"},
		{"<vessel tag='P' service='rich' material='carbon steel' pwht='no'/>", MECHANISM_SOHIC, YES,
			"not stress relieved"},
		{"<vessel tag='P' service='rich' material='carbon steel' pwht='yes' hic-tested='no'/>", MECHANISM_SOHIC,
			YES, "helps in part"},
		{"<vessel tag='P' service='rich' material='carbon steel' pwht='no' hic-tested='yes'/>", MECHANISM_SOHIC,
			NO, "tested for it"},

	/* alkaline from a pH of 7.5, carbonate from 100 ppmw */
#define REFLUX(values) "<stream id='w' service='reflux' " values "/><condenser tag='P' material='carbon steel'/>"
		{REFLUX("ph='7.5' carbonate='100 ppmw'"), MECHANISM_CARBONATE, YES, "alkaline water with carbonate"},
		{REFLUX("ph='7.4' carbonate='100 ppmw'"), MECHANISM_CARBONATE, NO, "not alkaline"},
		{REFLUX("ph='8' carbonate='99 ppmw'"), MECHANISM_CARBONATE, NO, "too little carbonate"},
		{REFLUX("ph='8'"), MECHANISM_CARBONATE, PERHAPS, "carbonate of the reflux is not stated"},
		{REFLUX("carbonate='100 ppmw'"), MECHANISM_CARBONATE, PERHAPS, "ph of the reflux is not stated"},
		{"<stream id='w' service='lean' ph='7'/><condenser tag='P' material='carbon steel'/>",
			MECHANISM_CARBONATE, PERHAPS, "ph of the reflux"},
		{"<condenser tag='P' material='carbon steel' pwht='yes'/>", MECHANISM_CARBONATE, NO, "stress relieved"},
		{"<condenser tag='P' material='316L'/>", MECHANISM_CARBONATE, NO, "austenitic"},
		{LINE("service='lean' material='carbon steel'"), MECHANISM_CARBONATE, NO, "no alkaline water"},

		{LINE("service='lean' material='carbon steel' cladding='316L' temperature='80 degC'"),
			MECHANISM_CHLORIDE, YES, "60 degC or more"},
		{LINE("service='lean' material='carbon steel' temperature='80 degC'"), MECHANISM_CHLORIDE, NO,
			"not an austenitic steel"},
		{LINE("service='lean' temperature='80 degC'"), MECHANISM_CHLORIDE, PERHAPS, "material"},
		{LINE("service='lean' material='316L'"), MECHANISM_CHLORIDE, PERHAPS, "temperature is not stated"},

		{LINE("service='lean' material='316L' temperature='93 degC' insulated='yes'"), MECHANISM_INSULATION,
			YES, "in the worst range, 49 to 93 degC, no coating stated"},
		{LINE("service='lean' material='316L' temperature='94 degC' insulated='yes' external-coating='yes'"),
			MECHANISM_INSULATION, YES, "at 93 to 149 degC; its coating is the barrier"},
		{LINE("service='lean' material='316L' temperature='149 degC' insulated='yes' external-coating='no'"),
			MECHANISM_INSULATION, YES, "no coating stated"},
		{LINE("service='lean' material='316L' temperature='150 degC' insulated='yes'"), MECHANISM_INSULATION,
			NO, "outside"},
		{LINE("service='lean' material='316L' temperature='100 degC'"), MECHANISM_INSULATION, PERHAPS,
			"insulated is not stated"},
		{LINE("service='lean' material='316L' insulated='yes'"), MECHANISM_INSULATION, PERHAPS,
			"temperature is not stated"},
		{LINE("service='lean' insulated='yes'"), MECHANISM_INSULATION, PERHAPS, "material is not stated"},
		{LINE("service='lean' material='carbon steel' insulated='yes'"), MECHANISM_INSULATION, NO,
			"look for rust"},

		{LINE("service='rich' material='carbon steel' temperature='60 degC'"), MECHANISM_AMINE_CORROSION, YES,
			"warm rich amine"},
		{LINE("service='lean' material='carbon steel' temperature='60 degC'"), MECHANISM_AMINE_CORROSION, YES,
			"hot lean amine"},
		{LINE("service='lean' material='carbon steel' temperature='59 degC'"), MECHANISM_AMINE_CORROSION, NO,
			"colder than 60"},
		{LINE("service='lean' material='carbon steel'"), MECHANISM_AMINE_CORROSION, PERHAPS,
			"temperature is not stated"},
		{LINE("service='sour gas' material='carbon steel' temperature='70 degC'"), MECHANISM_AMINE_CORROSION,
			NO, "no amine"},
		{LINE("material='carbon steel' temperature='70 degC'"), MECHANISM_AMINE_CORROSION, PERHAPS,
			"stream or service"},
		{"<regenerator tag='P' material='carbon steel'/>", MECHANISM_AMINE_CORROSION, YES, "reboiler and"},

		{LINE("service='rich' material='carbon steel' velocity='0.9 m/s'"), MECHANISM_EROSION, NO,
			"slower than every"},
		{LINE("service='rich' material='carbon steel' velocity='0.91 m/s'"), MECHANISM_EROSION, YES,
			"faster than the lowest"},
		{LINE("service='acid gas' material='carbon steel' velocity='5 m/s'"), MECHANISM_EROSION, YES, "faster"},
		{LINE("service='sour gas' material='carbon steel' velocity='5 m/s'"), MECHANISM_EROSION, NO,
			"no amine reaches it"},
		{LINE("service='rich' material='carbon steel' two-phase='no' velocity='0.5 m/s'"), MECHANISM_EROSION,
			NO, "slower"},
		{"<pump tag='P' service='rich' material='carbon steel'/>", MECHANISM_EROSION, YES, "pumps always see"},
		{"<vessel tag='P' service='rich' material='carbon steel'/>", MECHANISM_EROSION, NO,
			"no flow along its shell"},

		{"<gas id='G' role='feed' nh3='10 ppmv'/><condenser tag='P' material='316L'/>", MECHANISM_BISULFIDE,
			YES, "ammonia comes"},
		{"<gas id='G' role='feed' nh3='0 ppmv'/><condenser tag='P' material='316L'/>", MECHANISM_BISULFIDE, NO,
			"no ammonia comes"},
		{"<condenser tag='P' material='316L'/>", MECHANISM_BISULFIDE, PERHAPS, "nh3 of the feed gases"},

		{"<regenerator tag='P' material='carbon steel'><zone name='top' cladding='316L'/></regenerator>",
			MECHANISM_ACID_WATER, NO, "clad where water condenses"},
		{"<regenerator tag='P' material='carbon steel'/>", MECHANISM_ACID_WATER, YES, "bare steel"},
		{"<reboiler tag='P' material='carbon steel'><zone name='vapour space' cladding='316L'/></reboiler>",
			MECHANISM_ACID_WATER, NO, "clad where"},
		{"<reboiler tag='P' material='carbon steel'/>", MECHANISM_ACID_WATER, YES, "bare steel"},
		{"<regenerator tag='P' material='316L'/>", MECHANISM_ACID_WATER, NO, "austenitic"},

		{"<tank tag='P' blanket='nitrogen' open-vent='yes' material='304L'/>", MECHANISM_OXYGEN, YES,
			"draws in air"},
		{"<tank tag='P' blanket='nitrogen' open-vent='no' material='304L'/>", MECHANISM_OXYGEN, NO,
			"blanketed"},
		{"<sump tag='P' aerated='yes' material='carbon steel'/>", MECHANISM_OXYGEN, YES, "open to air"},
		{"<sump tag='P' aerated='no' material='carbon steel'/>", MECHANISM_OXYGEN, NO, "protected from air"},
		{"<sump tag='P' material='carbon steel'/>", MECHANISM_OXYGEN, PERHAPS, "aerated is not stated"},
		{"<gas id='G' role='feed' o2='11 ppmv'/><absorber tag='P' gas='G' material='carbon steel'/>",
			MECHANISM_OXYGEN, YES, "more than 10"},
		{"<gas id='G' role='feed' o2='10 ppmv'/><absorber tag='P' gas='G' material='carbon steel'/>",
			MECHANISM_OXYGEN, NO, "no more than 10"},
		{"<gas id='G' role='feed'/><absorber tag='P' gas='G' material='carbon steel'/>", MECHANISM_OXYGEN,
			PERHAPS, "o2 of the gas"},
		{LINE("service='lean' material='carbon steel'"), MECHANISM_OXYGEN, NO, "no air enters here"},
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		expect_reason("MDEA", rows[i].body, "P", rows[i].mechanism, rows[i].credible, rows[i].why);
}

/* The worst steady case counts, wherever it is among the others; an upset does not. */
Test(damage, the_largest_value_of_the_steady_cases_counts)
{
	static const char design[] =
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='a'/><case id='b'/><case "
		"id='c'/><case "
		"id='u' upset='yes'/></basis><solvent amine='MDEA'/><line tag='P' service='lean' material='316L' "
		"temperature='20 degC'><in case='%s' temperature='%s'/><in case='%s' temperature='%s'/><in case='%s' "
		"temperature='%s'/></line></unit>";
	static const struct {
		const char *hot;
		enum truth credible;
	} rows[] = {{"b", YES}, {"c", YES}, {"u", NO}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		const char *others[] = {"b", "c", "u"};
		const char *hot[3];
		for (size_t k = 0; k < 3; k++)
			hot[k] = strcmp(others[k], rows[i].hot) == 0 ? "80 degC" : "30 degC";
		trial_review(&trial, arena_format(&arena, design, "b", hot[0], "c", hot[1], "u", hot[2]));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		cr_expect(answer("P", MECHANISM_CHLORIDE)->credible == rows[i].credible, "hot in %s", rows[i].hot);
		arena_release(&arena);
	}
	/* What is stated in one case alone is known. */
	trial_review(&trial,
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='a'/><case id='b'/><case "
		"id='c'/></basis><solvent amine='MDEA'/><stream id='z'><in case='b' temperature='30 degC'/></stream>"
		"<tank tag='T' material='304L'><in case='c' blanket='none'/></tank>"
		"<tank tag='N' material='304L'><in case='b' blanket='nitrogen'/></tank>"
		"<line tag='P' service='rich' material='carbon steel'><in case='c' two-phase='yes'/></line>"
		"<line tag='Q' service='rich' material='carbon steel' two-phase='yes'><in case='c' "
		"two-phase='no'/></line></unit>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect(answer("T", MECHANISM_OXYGEN)->credible == YES);
	cr_expect(answer("N", MECHANISM_OXYGEN)->credible == NO);
	cr_expect(answer("P", MECHANISM_EROSION)->credible == YES, "%s", answer("P", MECHANISM_EROSION)->why);
	cr_expect(answer("Q", MECHANISM_EROSION)->credible == YES, "stated for all cases but one");
}

static bool is_listed(const char *tag)
{
	for (size_t i = 0; i < trial.review->damage_count; i++)
		if (strcmp(trial.review->damage[i].item->tag, tag) == 0)
			return true;
	return false;
}

Test(damage, what_amine_never_touches_is_not_listed)
{
	static const char *const others[] = {
		"steam", "condensate", "cooling water", "sea water", "hot oil", "air", "nitrogen"};
	for (size_t i = 0; i < COUNT(others); i++) {
		struct arena arena = {0};
		trial_review_unit(&trial, "MDEA",
			arena_format(&arena,
				"<line tag='P' service='%s' material='carbon steel'/>"
				"<line tag='Q' service='lean'/><stream id='s'/>",
				others[i]));
		cr_expect(!is_listed("P") && is_listed("Q") && !is_listed("s"), "%s", others[i]);
		arena_release(&arena);
	}
	trial_review_unit(&trial, "MDEA",
		"<exchanger tag='E'><tube-side material='316L'/><shell-side material='carbon steel'/></exchanger><line "
		"tag='P'/>");
	cr_expect(is_listed("E tube side") && is_listed("E shell side") && !is_listed("E") && is_listed("P"));
}

/* Where a rule on stress relief departs, amine cracking is credible: the table never takes it back. */
Test(damage, no_stress_relief_that_is_asked_for_is_called_needless)
{
	static const char *const designs[] = {"designs/tern-quay.xml", "designs/cobble-hythe.xml",
		"designs/curlew-spit.xml", "tests/designs/k01.xml", "tests/designs/k02-mea.xml",
		"tests/designs/k03.xml"};
	static const char *const rules[] = {"CRK-001", "CRK-002", "CRK-003", "CRK-004", "CRK-005"};
	size_t seen = 0;
	for (size_t d = 0; d < COUNT(designs); d++) {
		trial_review_file(&trial, designs[d]);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		for (size_t i = 0; i < trial.review->damage_count; i++)
			for (size_t r = 0; r < COUNT(rules); r++) {
				const struct item *item = trial.review->damage[i].item;
				const struct finding *found = trial_finding(&trial, rules[r], item->tag);
				if (!found || found->verdict != VERDICT_DEPARTS)
					continue;
				seen++;
				cr_expect(trial.review->damage[i].answers[MECHANISM_AMINE_CRACKING].credible == YES,
					"%s: %s", item->tag,
					trial.review->damage[i].answers[MECHANISM_AMINE_CRACKING].why);
			}
	}
	cr_expect(seen > 15, "%zu", seen);
}

Test(damage, every_answer_has_a_reason_and_every_source_is_there)
{
	trial_review_file(&trial, "designs/tern-quay.xml");
	cr_assert(trial.review && trial.review->damage_count > 30);
	for (size_t i = 0; i < trial.review->damage_count; i++)
		for (int m = 0; m < MECHANISM_COUNT; m++)
			cr_expect(trial.review->damage[i].answers[m].why && *trial.review->damage[i].answers[m].why);
	for (int m = 0; m < MECHANISM_COUNT; m++)
		cr_expect(catalogue_source(trial.catalogue, mechanisms[m].source), "%s", mechanisms[m].source);
}

/* ---- what operation found ---- */

static const struct damage *row_of(const char *tag)
{
	for (size_t i = 0; i < trial.review->damage_count; i++)
		if (strcmp(trial.review->damage[i].item->tag, tag) == 0)
			return &trial.review->damage[i];
	cr_assert_fail("%s is not in the damage table", tag);
	return NULL;
}

#define READ(date, wall) "<wall-reading date='" date "' thickness='" wall "' method='ultrasonic thickness'/>"
#define VESSEL(metal, readings)                                                                                        \
	"<vessel tag='P' service='rich' temperature='40 degC' material='" metal "' pwht='yes' hic-tested='yes' "       \
	"hardness-weld='190 HBW' hardness-haz='230 HV' insulated='no' required-thickness='10 mm'>" readings            \
	"</vessel>"

/* Readings and inspections are read by the place: a loss that was measured is credible whatever metal and temperature say. */
Test(damage, what_readings_and_inspections_found_is_in_the_chapter)
{
	static const struct {
		const char *body;
		enum truth credible;
		enum urgency urgency;
		const char *condition;
	} rows[] = {
		{VESSEL("carbon steel", ""), NO, URGENCY_NONE, "up to"},
		{VESSEL("carbon steel", READ("2000", "14 mm") READ("2020", "13.9 mm")), NO, URGENCY_NONE,
			"wall 13.9 mm by ultrasonic thickness, 2020"},
		{VESSEL("carbon steel", READ("2000", "14 mm") READ("2020", "12 mm")), YES, URGENCY_NORMAL,
			"thinning, 0.100 mm/y by its readings, 20.0 y left"},
		{VESSEL("316L", READ("2000", "14 mm") READ("2020", "12 mm")), YES, URGENCY_NORMAL, "thinning"},
		{VESSEL("carbon steel", READ("2000", "14 mm") READ("2020", "10.3 mm")), YES, URGENCY_NEXT_STOP,
			"1.622 y left"},
		{VESSEL("carbon steel", READ("2000", "14 mm") READ("2020", "9.5 mm")), YES, URGENCY_BEFORE_RESTART,
			"wall 9.50 mm"},
		{VESSEL("carbon steel", "<inspection date='2019-04' method='radiography' result='thinning'/>"), YES,
			URGENCY_NORMAL, "thinning, found by radiography, 2019-04"},
		/* The crack is told by who found it, not by who looked last. */
		{VESSEL("carbon steel",
			 "<inspection date='2012-03' method='wet fluorescent magnetic particle' result='cracks'/>"
			 "<inspection date='2021-03' method='visual' result='no indications'/>"),
			NO, URGENCY_BEFORE_RESTART,
			"cracks found by wet fluorescent magnetic particle, 2012-03; last inspected by visual, "
			"2021-03"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review_unit(&trial, "MDEA", rows[i].body);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct damage *row = row_of("P");
		cr_expect_eq(row->answers[MECHANISM_AMINE_CORROSION].credible, rows[i].credible, "%s: %s", rows[i].body,
			row->answers[MECHANISM_AMINE_CORROSION].why);
		cr_expect_eq(row->urgency, rows[i].urgency, "%s: %s", rows[i].body, urgency_word(row->urgency));
		cr_expect(strstr(row->condition, rows[i].condition), "%s: %s", rows[i].body, row->condition);
	}
}

/* Not stated, owed, no record: three states of one attribute, in the chapter and in the rules. */
Test(damage, no_record_is_not_the_same_as_not_stated)
{
	static const struct {
		const char *pwht, *condition, *open;
		enum truth credible;
		enum verdict relief, record;
	} rows[] = {
		{"", "carbon steel", "pwht", PERHAPS, VERDICT_NOT_JUDGED, VERDICT_NOT_APPLICABLE},
		{"pwht='t.b.d.'", "stress relief is to be stated (t.b.d.)", "pwht (t.b.d.)", PERHAPS,
			VERDICT_NOT_JUDGED, VERDICT_NOT_APPLICABLE},
		{"pwht='not recorded'", "no record of stress relief", "", YES, VERDICT_NOT_JUDGED, VERDICT_DEPARTS},
		{"pwht='no'", "as welded", "", YES, VERDICT_DEPARTS, VERDICT_MEETS},
		{"pwht='yes'", "treated", "", NO, VERDICT_MEETS, VERDICT_MEETS},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review_unit(&trial, "MDEA",
			arena_format(&trial.arena,
				"<line tag='P' service='lean' material='carbon steel' temperature='110 degC' "
				"velocity='1 m/s' traced='no' steamed-out='no' insulated='no' %s/>",
				rows[i].pwht));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct damage *row = row_of("P");
		cr_expect_eq(row->answers[MECHANISM_AMINE_CRACKING].credible, rows[i].credible, "%s", rows[i].pwht);
		cr_expect(strstr(row->condition, rows[i].condition), "%s: %s", rows[i].pwht, row->condition);
		cr_expect_str_eq(row->open, rows[i].open, "%s: %s", rows[i].pwht, row->open);
		cr_expect_eq(trial_finding(&trial, "CRK-004", "P")->verdict, rows[i].relief, "%s", rows[i].pwht);
		cr_expect_eq(trial_finding(&trial, "CRK-029", "P")->verdict, rows[i].record, "%s", rows[i].pwht);
	}
}
