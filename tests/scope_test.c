/*
 * What a rule looks at: the right nozzle, metal, fluid, pump, valve and shell, each with the case on the other side. All
 * descriptions are invented.
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

TestSuite(scope, .init = begin, .fini = end);

/* The verdict of a rule on an item of this unit; not applicable where the rule does not select it. */
static void expect(const char *rule, const char *item, enum verdict wanted, const char *body)
{
	trial_review_unit(&trial, "MDEA", body);
	const struct finding *found = trial_finding(&trial, rule, item);
	enum verdict verdict = found ? found->verdict : VERDICT_NOT_APPLICABLE;
	cr_expect(verdict == wanted, "%s on %s: %s, not %s: %s in %s", rule, item, verdict_word(verdict),
		verdict_word(wanted), found ? found->message : "", body);
}

/* ---- velocities ---- */

#define RICH(pressure, more)                                                                                           \
	"<stream id='r' service='rich' flow='90 t/h' temperature='99 degC' pressure='" pressure                        \
	"' h2s='0.15' co2='0.3' " more "/>"
#define STEEL(size, more)                                                                                              \
	"<line tag='P' stream='r' size='NPS " size "' schedule='40' material='carbon steel' " more "/>"

Test(scope, a_mixture_is_held_to_liquid_figures_as_liquid_alone)
{
	/* 90 t/h of some 1040 kg/m3: 1.3 m/s in NPS 6, 0.75 m/s in NPS 8, whatever has flashed at 2 barg. */
	expect("VEL-002", "P", VERDICT_NOT_APPLICABLE, RICH("2 barg", "") STEEL("8", ""));
	cr_expect(trial_number(&trial, "P", NULL, "velocity", "m/s") > 3, "the mixture");
	cr_expect_float_eq(trial_number(&trial, "P", NULL, "liquid-velocity", "m/s"), 0.75, 0.05);
	/* NPS 4: 2.9 m/s as liquid; that it flashes as well takes nothing away. */
	expect("VEL-002", "P", VERDICT_DEPARTS, RICH("2 barg", "") STEEL("4", ""));
	cr_expect_float_eq(trial_finding(&trial, "VEL-002", "P")->value->si, 2.9, 0.2);
	expect("VEL-002", "P", VERDICT_DEPARTS, RICH("30 barg", "") STEEL("4", ""));
	expect("VEL-002", "P", VERDICT_MEETS, RICH("30 barg", "") STEEL("8", ""));
	expect("VEL-002", "P", VERDICT_NOT_APPLICABLE,
		RICH("30 barg", "two-phase='yes'") STEEL("8", "velocity='8 m/s'"));
	expect("VEL-002", "P", VERDICT_DEPARTS, RICH("30 barg", "two-phase='yes'") STEEL("4", "velocity='8 m/s'"));
	/* without a flow nobody knows what the liquid alone would have: it passes nothing */
	expect("VEL-002", "P", VERDICT_NOT_JUDGED,
		"<line tag='P' service='rich' velocity='8 m/s' material='carbon steel' two-phase='yes'/>");
}

Test(scope, a_phase_that_nobody_states_clears_no_velocity)
{
	static const char open[] = "<line tag='P' service='rich' velocity='1.1 m/s' material='carbon steel'/>";
	expect("VEL-002", "P", VERDICT_NOT_JUDGED, open);
	expect("VEL-002", "P", VERDICT_MEETS,
		"<line tag='P' service='rich' velocity='1.1 m/s' material='carbon steel' two-phase='no'/>");
	expect("VEL-002", "P", VERDICT_DEPARTS,
		"<line tag='P' service='rich' velocity='2.1 m/s' material='carbon steel'/>");
}

Test(scope, tubes_are_held_to_the_liquid_in_them)
{
	static const char tubes[] =
		"<stream id='a' service='rich' flow='60 t/h' temperature='60 degC' pressure='4 barg' h2s='0.15' "
		"co2='0.3'/>"
		"<stream id='b' service='rich' flow='60 t/h' temperature='100 degC' pressure='1.5 barg' h2s='0.15' "
		"co2='0.3'/>"
		"<exchanger tag='E'><tube-side inlet='a' outlet='b' tubes='240' passes='2' tube-od='25.4 mm' "
		"tube-wall='2.11 mm' material='%s'/></exchanger>";
	expect("VEL-009", "E tube side", VERDICT_MEETS, arena_format(&trial.arena, tubes, "carbon steel"));
	cr_expect(trial_number(&trial, "E tube side", NULL, "velocity", "m/s") > 2, "the mixture at the outlet");
	cr_expect(trial_number(&trial, "E tube side", NULL, "liquid-velocity", "m/s") < 0.5);
	expect("VEL-013", "E tube side", VERDICT_MEETS, arena_format(&trial.arena, tubes, "316L"));
}

Test(scope, a_clad_line_is_a_line_of_its_cladding)
{
	expect("VEL-002", "P", VERDICT_NOT_APPLICABLE, RICH("30 barg", "") STEEL("4", "cladding='316L'"));
	expect("VEL-011", "P", VERDICT_MEETS, RICH("30 barg", "") STEEL("4", "cladding='316L'"));
	expect("VEL-011", "P", VERDICT_NOT_APPLICABLE, RICH("30 barg", "") STEEL("4", "cladding='none'"));
	expect("VEL-014", "P", VERDICT_DEPARTS, RICH("2 barg", "") STEEL("4", ""));
	expect("VEL-014", "P", VERDICT_NOT_APPLICABLE, RICH("2 barg", "") STEEL("4", "cladding='316L'"));
}

Test(scope, the_stricter_amine_of_a_blend_counts)
{
	static const char unit[] = "<unit xmlns='urn:leanrich:unit:1' number='T'><basis><case id='normal'/></basis>"
				   "<solvent amine='MDEA' strength='40 wt%%' %s/><line tag='P' service='lean' "
				   "velocity='1.4 m/s' material='carbon steel'/></unit>";
	static const struct {
		const char *second, *departs, *silent;
	} rows[] = {{"second-amine='MEA'", "VEL-003", "VEL-001"}, {"second-amine='DGA'", NULL, "VEL-001"},
		{"", NULL, "VEL-003"}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial, arena_format(&trial.arena, unit, rows[i].second));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct finding *silent = trial_finding(&trial, rows[i].silent, "P");
		cr_expect(
			!silent || silent->verdict == VERDICT_NOT_APPLICABLE, "%s %s", rows[i].silent, rows[i].second);
		if (rows[i].departs)
			cr_expect(trial_finding(&trial, rows[i].departs, "P")->verdict == VERDICT_DEPARTS);
	}
}

Test(scope, an_orifice_whose_bore_is_not_stated_is_at_least_a_jet_of_its_line)
{
#define ORIFICE(velocity, more)                                                                                        \
	"<line tag='P' service='lean' velocity='" velocity "' material='carbon steel'><fitting tag='FO' "              \
	"type='orifice plate' " more "/></line>"
	expect("LCV-003", "FO", VERDICT_NOT_JUDGED, ORIFICE("1.2 m/s", ""));
	cr_expect(strstr(trial_finding(&trial, "LCV-003", "FO")->message, "bore of FO is not stated") != NULL);
	expect("LCV-003", "FO", VERDICT_NOT_JUDGED,
		"<line tag='P' service='lean' material='carbon steel'>"
		"<elbow radius='1.0'/><fitting tag='FO' type='tee'/></line>");
	expect("LCV-003", "P", VERDICT_NOT_APPLICABLE, "<line tag='P' service='lean' material='carbon steel'/>");
	expect("LCV-003", "P", VERDICT_NOT_JUDGED,
		"<line tag='P' service='lean' material='carbon steel' elbow-radius='1'/>");
}

Test(scope, a_short_elbow_in_lean_amine_of_no_temperature_is_taken_as_hot)
{
	static const char line[] = "<line tag='P' service='lean' %s material='carbon steel' elbow-radius='1.0'/>";
	expect("LCV-001", "P", VERDICT_DEPARTS, arena_format(&trial.arena, line, ""));
	expect("LCV-001", "P", VERDICT_NOT_APPLICABLE, arena_format(&trial.arena, line, "temperature='50 degC'"));
}

/* ---- shells and tubes ---- */

#define SHELL(first, second)                                                                                           \
	"<stream id='in' service='lean' flow='60 t/h' temperature='110 degC' h2s='0.004' co2='0.006'/>"                \
	"<stream id='out' service='lean' flow='60 t/h' temperature='70 degC' h2s='0.004' co2='0.006'/>"                \
	"<exchanger tag='E'><shell-side inlet='in' outlet='out'><nozzle tag='N1' schedule='40' " first                 \
	"/><nozzle tag='N2' schedule='40' " second "/></shell-side></exchanger>"

Test(scope, the_jet_into_a_shell_is_that_of_its_inlet)
{
	expect("VEL-016", "E shell side", VERDICT_MEETS,
		SHELL("stream='in' size='NPS 8' impingement-plate='no'", "stream='out' size='NPS 4'"));
	expect("VEL-016", "E shell side", VERDICT_DEPARTS,
		SHELL("stream='in' size='NPS 4' impingement-plate='no'", "stream='out' size='NPS 8'"));
	expect("VEL-016", "E shell side", VERDICT_MEETS,
		SHELL("stream='in' size='NPS 4' impingement-plate='yes'", "stream='out' size='NPS 8'"));
	expect("VEL-016", "E shell side", VERDICT_NOT_JUDGED,
		SHELL("stream='in' impingement-plate='no'", "stream='out' size='NPS 8'"));
}

Test(scope, pitch_is_asked_for_where_amine_runs_around_the_tubes)
{
	static const char cooler[] = "<cooler tag='E' type='shell and tube'><tube-side service='%s' "
				     "tube-pitch='triangular'/><shell-side service='%s'/></cooler>";
	expect("EXC-004", "E tube side", VERDICT_NOT_APPLICABLE,
		arena_format(&trial.arena, cooler, "lean", "cooling water"));
	expect("EXC-004", "E tube side", VERDICT_DEPARTS, arena_format(&trial.arena, cooler, "cooling water", "lean"));
	expect("EXC-004", "E tube side", VERDICT_NOT_APPLICABLE,
		"<cooler tag='E' type='air cooled'><tube-side service='lean' tube-pitch='triangular'/></cooler>");
	expect("EXC-004", "E tube side", VERDICT_NOT_JUDGED, "<cooler tag='E'><tube-side service='lean'/></cooler>");
	static const char heater[] = "<%s tag='E'><tube-side service='%s' tube-pitch='triangular'/></%s>";
	expect("REG-012", "E tube side", VERDICT_DEPARTS,
		arena_format(&trial.arena, heater, "reboiler", "hot oil", "reboiler"));
	expect("REG-012", "E tube side", VERDICT_NOT_APPLICABLE,
		arena_format(&trial.arena, heater, "reclaimer", "steam", "reclaimer"));
}

Test(scope, what_is_found_on_an_exchanger_is_found_on_its_shell)
{
	expect("CRK-016", "E shell side", VERDICT_DEPARTS,
		"<exchanger tag='E' material='carbon steel' hardness-haz='320 HV'><shell-side service='rich'/>"
		"<tube-side service='lean' material='316L'/></exchanger>");
	expect("CRK-016", "E shell side", VERDICT_MEETS,
		"<exchanger tag='E' material='carbon steel' hardness-haz='320 HV'><shell-side service='rich' "
		"hardness-haz='210 HV'/></exchanger>");
}

/* ---- relief, reverse flow, pumps ---- */

Test(scope, a_valve_speaks_for_itself_on_gas_blow_by)
{
	static const char unit[] = "<flash-drum tag='V'><relief-case name='gas blow-by' covered='%s'/>%s</flash-drum>"
				   "<absorber tag='C'><valve tag='LV' role='letdown' to='V' %s/></absorber>";
	expect("HLP-001", "LV", VERDICT_DEPARTS, arena_format(&trial.arena, unit, "yes", "", "blow-by-relief='no'"));
	expect("HLP-001", "LV", VERDICT_MEETS, arena_format(&trial.arena, unit, "no", "", "blow-by-relief='yes'"));
	expect("HLP-001", "LV", VERDICT_MEETS, arena_format(&trial.arena, unit, "yes", "", ""));
	expect("HLP-001", "LV", VERDICT_DEPARTS, arena_format(&trial.arena, unit, "no", "", ""));
	expect("HLP-001", "LV", VERDICT_DEPARTS,
		arena_format(&trial.arena, unit, "yes", "<relief-case name='gas blow-by' covered='no'/>", ""));
	expect("HLP-001", "LV", VERDICT_NOT_JUDGED,
		arena_format(&trial.arena, unit, "yes", "<relief-case name='gas blow-by'/>", ""));
}

Test(scope, relief_for_a_broken_tube_may_be_a_relief_case)
{
	static const char unit[] = "<cooler tag='E' type='shell and tube' %s><tube-side design-pressure='70 barg'/>"
				   "<shell-side design-pressure='10 barg'/>%s</cooler>";
	static const char covered[] = "<relief-case name='tube rupture' covered='yes'/>";
	expect("HLP-005", "E", VERDICT_DEPARTS, arena_format(&trial.arena, unit, "", ""));
	expect("HLP-005", "E", VERDICT_MEETS, arena_format(&trial.arena, unit, "", covered));
	expect("HLP-005", "E", VERDICT_MEETS, arena_format(&trial.arena, unit, "tube-rupture-relief='yes'", ""));
	expect("HLP-005", "E", VERDICT_DEPARTS, arena_format(&trial.arena, unit, "tube-rupture-relief='no'", covered));
}

Test(scope, vacuum_is_asked_of_columns_and_of_shells)
{
	static const char shell[] = "<reboiler tag='E' steamed-out='yes' vacuum-design='%s'>%s</reboiler>";
	static const char relief[] = "<shell-side/><relief-case name='vacuum' covered='yes'/>";
	expect("HLP-007", "E", VERDICT_DEPARTS, arena_format(&trial.arena, shell, "no", ""));
	expect("HLP-007", "E", VERDICT_NOT_APPLICABLE, arena_format(&trial.arena, shell, "no", "<shell-side/>"));
	expect("HLP-007", "E shell side", VERDICT_DEPARTS, arena_format(&trial.arena, shell, "no", "<shell-side/>"));
	expect("HLP-007", "E shell side", VERDICT_MEETS, arena_format(&trial.arena, shell, "no", relief));
	expect("HLP-007", "E shell side", VERDICT_MEETS, arena_format(&trial.arena, shell, "yes", "<shell-side/>"));
	expect("HLP-007", "C", VERDICT_DEPARTS, "<absorber tag='C' steamed-out='yes' vacuum-design='no'/>");
	expect("HLP-007", "E", VERDICT_NOT_APPLICABLE, "<condenser tag='E' type='air cooled' steamed-out='yes'/>");
}

Test(scope, check_valves_count_where_they_are_described)
{
	static const char pump[] =
		"<pump tag='P' service='lean' suction-pressure='1 barg' discharge-pressure='60 barg' %s>"
		"%s</pump><line tag='L' from='P'>%s</line>";
	static const char swing[] = "<check-valve type='swing check'/>",
			  plate[] = "<check-valve type='dual plate check'/>";
	expect("HLP-002", "P", VERDICT_NOT_JUDGED, arena_format(&trial.arena, pump, "", "", ""));
	expect("HLP-002", "P", VERDICT_MEETS,
		arena_format(&trial.arena, pump, "low-flow-shut-off='yes'", swing, plate));
	expect("HLP-002", "P", VERDICT_NOT_JUDGED,
		arena_format(&trial.arena, pump, "low-flow-shut-off='yes'", swing, "")); /* by what the suction bears */
	expect("HLP-003", "P", VERDICT_DEPARTS, arena_format(&trial.arena, pump, "", swing, swing));
	expect("HLP-003", "P", VERDICT_MEETS, arena_format(&trial.arena, pump, "", swing, plate));
	expect("HLP-002", "P", VERDICT_DEPARTS, arena_format(&trial.arena, pump, "check-valves='0'", swing, ""));
}

Test(scope, a_pump_is_as_warm_as_what_it_moves)
{
	static const char pump[] =
		"<gas id='g' role='feed' h2s='1 mol%%' co2='1 mol%%'/><stream id='s' service='lean' %s/>"
		"<pump tag='P' service='lean' stream='s' material-class='S-1'/>";
	expect("PMP-004", "P", VERDICT_DEPARTS, arena_format(&trial.arena, pump, "temperature='95 degC'"));
	expect("PMP-004", "P", VERDICT_MEETS, arena_format(&trial.arena, pump, "temperature='45 degC'"));
	expect("PMP-004", "P", VERDICT_NOT_JUDGED, arena_format(&trial.arena, pump, ""));
}

/* ---- drums ---- */

Test(scope, a_separator_of_no_type_is_asked_for)
{
	static const char drum[] =
		"<gas id='g' role='feed' hydrocarbon-liquid='yes'/><knock-out-drum tag='V' gas='g' %s/>";
	expect("FLF-004", "g", VERDICT_NOT_JUDGED, arena_format(&trial.arena, drum, ""));
	expect("FLF-004", "g", VERDICT_MEETS, arena_format(&trial.arena, drum, "type='filter coalescer'"));
	expect("FLF-004", "g", VERDICT_DEPARTS, arena_format(&trial.arena, drum, "type='knock-out drum'"));
}

/* A zone may be before or after the nozzle that names it, and what the nozzle states itself stays. */
Test(scope, what_is_stated_of_a_zone_holds_for_what_names_it)
{
	static const char zone[] = "<zone name='top' material='316L' temperature='70 degC'/>";
	static const char nozzle[] = "<nozzle tag='N' zone='top' %s><weld name='w'/></nozzle>";
	static const char column[] =
		"<regenerator tag='C' material='carbon steel' temperature='120 degC'>%s%s</regenerator>";
	for (int last = 0; last < 2; last++) {
		const char *plain = arena_format(&trial.arena, nozzle, "");
		trial_review_unit(
			&trial, "MDEA", arena_format(&trial.arena, column, last ? plain : zone, last ? zone : plain));
		cr_expect_str_eq(trial_value(&trial, "N", NULL, "material-family")->word, "austenitic");
		cr_expect_float_eq(trial_number(&trial, "N weld w", NULL, "temperature", "degC"), 70, 1e-9);
	}
	const char *own = arena_format(&trial.arena, nozzle, "material='2205'");
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, column, zone, own));
	cr_expect_str_eq(trial_value(&trial, "N", NULL, "material")->word, "2205");
	cr_expect_float_eq(trial_number(&trial, "N", NULL, "temperature", "degC"), 70, 1e-9);
}
