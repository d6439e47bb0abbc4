/* The commands as people give them: what is refused and how, and what is printed where the course of things is rare. */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	shell_begin();
}

static void end(void)
{
	shell_end();
	trial_close(&trial);
}

TestSuite(command, .init = begin, .fini = end);

/* Line by line: exit status 2 and the one line that says what is wrong. */
Test(command, a_wrong_option_is_named)
{
	static const struct {
		const char *given, *said;
	} rows[] = {
		{"sweep --vary strength --from 20 --to 45 --steps 2 D",
			"sweep: --steps 2: a number from 3 to 201 is needed"},
		{"sweep --vary strength --from 20 --to 45 --steps 202 D",
			"sweep: --steps 202: a number from 3 to 201 is needed"},
		{"sweep --vary strength --from 20 --to 45 --steps ten D",
			"sweep: --steps ten: a number from 3 to 201 is needed"},
		{"sweep --vary strength --from 20 --to 45 --steps 4.5 D",
			"sweep: --steps 4.5: a number from 3 to 201 is needed"},
		{"sweep --vary strength --from x --to 45 D",
			"sweep: --from and --to: a number with its unit is needed"},
		{"sweep --vary strength --from 20 --to 1e999 D",
			"sweep: --from and --to: a number with its unit is needed"},
		{"sweep --vary strength --from '20 wt%' --to '5 mol/L' D",
			"sweep: --from is in wt% and --to in mol/L: give both in one unit"},
		{"sweep --vary strength --from '20 wt%' D", "sweep: --vary, --from and --to are needed"},
		{"sweep --vary strength --from '20 wt%' --to '45 wt%' D D", "sweep: one design is needed"},
		{"sweep --vary x.y --from 20 --to 45 D", "sweep: --vary x.y: the description states no such value"},
		{"sweep --vary strength --from '20 wt%' --to '45 wt%' --show lean-hot.nothing D",
			"sweep: --show lean-hot.nothing: the item has no such quantity"},
		{"sweep --vary strength --from '20 wt%' --to '45 wt%' --show x.density D",
			"sweep: --show x.density: no such item"},
		{"sweep --vary strength --from '20 wt%' --to '45 wt%' --show density D",
			"sweep: --show density: no such item"},
		{"headroom D D", "headroom: one design is needed"},
		{"cases D D", "cases: one design is needed"},
		{"headroom --of oil D", "headroom: --of oil: "},
		{"plan D D", "plan: one design is needed"},
		{"plan --steps 3 D", "plan: --steps is no option"},
		{"compare D", "compare: two designs are needed, the base and the revamp"},
		{"compare --fail-on state D D", "compare: --fail-on state: allowed are resolve, justify, consider"},
		{"compare --fail-on never D D", "compare: --fail-on never: allowed are resolve, justify, consider"},
		{"review --replies x.csv D D", "review: --replies belong to one design"},
		{"review --film-age '5 degC' D", "review: --film-age 5 degC: "},
		{"review --film-age '0 h' D", "review: --film-age 0 h: "},
		{"portfolio --jobs 0 D", "portfolio: --jobs 0: a number from 1 to "},
		{"portfolio --jobs 2x D", "portfolio: --jobs 2x: a number from 1 to "},
		{"explain VEL-004 VEL-005", "explain: one rule id is expected"},
		{"rules VEL-004", "rules: VEL-004 is not expected here"},
		{"review --output a --output b D", "review: --output is given more often than it can be; "},
		{"review --pa A4 --p default D", "review: --p is short for several: --profile, --paper, --pdf; "},
		{"review --fial-on state D", "review: --fial-on is no option: did you mean --fail-on; "},
		{"review --quiet=no D", "review: --quiet takes no value; "},
		{"solution --amine MDEA --strength '45 wt%' --temperature '40 degC' --film-age '5 degC'",
			"solution: --film-age: film-age \"5 degC\": degC measures temperature"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct run run = shell(&trial.arena,
			arena_format(&trial.arena,
				"D=designs/curlew-spit.xml; set -- %s; for w; do case $w in D) w=$D;; esac; "
				"set -- \"$@\" \"$w\"; shift; done; exec \"$LEANRICH\" \"$@\"",
				rows[i].given));
		cr_expect_eq(run.status, 2, "%s: exit %d", rows[i].given, run.status);
		cr_expect(*run.output == '\0', "%s printed %s", rows[i].given, run.output);
		const char *expected = arena_format(&trial.arena, "leanrich %s", rows[i].said);
		cr_expect(strncmp(run.errors, expected, strlen(expected)) == 0, "%s: %s", rows[i].given, run.errors);
		cr_expect(
			strchr(run.errors, '\n') && !strchr(run.errors, '\n')[1], "%s: %s", rows[i].given, run.errors);
	}
}

/* A pack of a user's may leave it out; whoever asks for a check of it is told. */
Test(command, rules_check_refuses_a_remedy_that_says_neither_what_it_changes_nor_why_not)
{
	struct run run = shell(&trial.arena,
		"cp -r tests/packs/sound $SCRATCH/p; sed 's/ only=.study.//' tests/packs/sound/own.xml "
		">$SCRATCH/p/own.xml; \"$LEANRICH\" rules --check $SCRATCH/p");
	cr_expect_eq(run.status, 3);
	cr_expect(strstr(run.errors, "names no <change> that can be tried"), "%s", run.errors);
	run = shell(&trial.arena,
		"\"$LEANRICH\" review --rules $SCRATCH/p --quiet --output $SCRATCH designs/heron-gate.xml");
	cr_expect_leq(run.status, 1, "%s", run.errors);
	run = shell(&trial.arena, "\"$LEANRICH\" rules --changes | tail -n 1");
	cr_expect(strstr(run.output, " 0 that say neither"), "%s", run.output);
}

/* What cannot be read ends every command that computes from it, with the place and the same status. */
Test(command, a_design_or_a_pack_that_cannot_be_read_ends_each_command)
{
	static const char *const rows[] = {
		"headroom tests/broken/text.xml",
		"cases tests/broken/text.xml",
		"sweep --vary strength --from 20 --to 45 tests/broken/text.xml",
		"plan tests/broken/text.xml",
		"compare tests/broken/text.xml designs/curlew-spit.xml",
		"compare designs/curlew-spit.xml tests/broken/text.xml",
		"review tests/broken/text.xml",
	};
	static const char *const packs[] = {"headroom %s designs/curlew-spit.xml", "cases %s designs/curlew-spit.xml",
		"review %s designs/curlew-spit.xml",
		"sweep %s --vary strength --from 20 --to 45 designs/curlew-spit.xml", "explain %s VEL-004", "rules %s",
		"compare %s designs/curlew-spit.xml designs/curlew-spit.xml", "portfolio %s designs/curlew-spit.xml"};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct run run = shell(&trial.arena, arena_format(&trial.arena, "\"$LEANRICH\" %s", rows[i]));
		cr_expect_eq(run.status, 3, "%s: exit %d", rows[i], run.status);
		cr_expect(strstr(run.errors, "tests/broken/text.xml:1:1: malformed: "), "%s: %s", rows[i], run.errors);
	}
	for (size_t i = 0; i < COUNT(packs); i++) {
		const char *with = arena_format(&trial.arena, "\"$LEANRICH\" %s", packs[i]);
		struct run run = shell(&trial.arena,
			arena_format(&trial.arena, "set -- --rules $SCRATCH/none; %.*s$@%s",
				(int)(strchr(with, '%') - with), with, strchr(with, '%') + 2));
		cr_expect_eq(run.status, 4, "%s: exit %d", packs[i], run.status);
		cr_expect(strstr(run.errors, "/none: unreadable: No such file or directory\n"), "%s: %s", packs[i],
			run.errors);
	}
}

/* An explanation shows all a rule is made of: when its force rises, what its constants are, what settles it beforehand. */
Test(command, an_explanation_shows_every_part_of_a_rule)
{
	struct run run = shell(&trial.arena,
		"\"$LEANRICH\" explain CRK-004; \"$LEANRICH\" explain CRK-009; \"$LEANRICH\" explain CRK-014");
	cr_expect_eq(run.status, 0);
	cr_expect(strstr(run.output, "\n  met in any case if $pwht\n"), "%s", run.output);
	cr_expect(strstr(run.output,
			  "required where the package claims NACE SP0472: the package claims NACE SP0472, which "
			  "requires it\n"),
		"%s", run.output);
	cr_expect(strstr(run.output, "\n  cool = 50 degC (122 degF) ("), "%s", run.output);
}

/*
 * By hand: NPS 6 schedule 40 is 154.1 mm (ASME B36.10M), so 100 m3/h run at 1.490 m/s; 5.5 ft/s (5 ft/s and half of its
 * digit, 1.676 m/s) is reached at a factor of 1.1253, in NPS 8 (202.7 mm) at 1.9483, and 3 m/s in 316L at twice the
 * first. NPS 2 (52.5 mm) is past its limit at any factor asked for.
 */
static const char by_hand[] =
	"<unit xmlns=\"urn:leanrich:unit:1\" number=\"H\" name=\"Hand\"><basis barometric-pressure=\"1 bara\"><case "
	"id=\"normal\"/>"
	"<case id=\"turndown\"/></basis><solvent amine=\"DEA\" strength=\"30 wt%\"/>"
	"<stream id=\"r\" service=\"rich\" flow=\"100 m3/h\" temperature=\"60 degC\" pressure=\"5 bara\" h2s=\"0.3\" "
	"co2=\"0.1\">"
	"<in case=\"turndown\" flow=\"50 m3/h\"/></stream>"
	"<line tag=\"P-1\" stream=\"r\" size=\"NPS 6\" schedule=\"40\" material=\"carbon steel\" pwht=\"yes\"/>"
	"<line tag=\"P-2\" stream=\"r\" size=\"NPS 2\" schedule=\"40\" material=\"carbon steel\" pwht=\"yes\"/></unit>";

Test(command, headroom_prints_factors_as_worked_out_by_hand)
{
	struct run run = shell(&trial.arena,
		arena_format(&trial.arena,
			"echo '%s' >$SCRATCH/h.xml; \"$LEANRICH\" headroom --output $SCRATCH/o $SCRATCH/h.xml",
			by_hand));
	cr_expect_eq(run.status, 0, "%s", run.errors);
	cr_expect(
		strstr(run.output,
			"below 0.3  VEL-002 Justify, passed already: P-2; Rich amine velocity in carbon steel piping, "
			"at most 5 ft/s (1.524 m/s), in case normal\n"),
		"%s", run.output);
	cr_expect(strstr(run.output,
			  "1.1253     VEL-002 Justify: P-1; Rich amine velocity in carbon steel piping, at most 5 ft/s "
			  "(1.524 m/s), in case normal\n"
			  "           next pipe size: NPS 8 schedule 40: 1.9483 (VEL-002)\n"
			  "           316L: 2.0138 (VEL-011)\n"),
		"%s", run.output);
	run = shell(&trial.arena,
		"\"$LEANRICH\" headroom --of gas --output $SCRATCH/o $SCRATCH/h.xml; grep -c 'No limit is "
		"reached within the range' $SCRATCH/o/H/headroom.html");
	cr_expect(strstr(run.output, "No limit is reached between 0.3 and 3.\n"), "%s", run.output);
	cr_expect(strstr(run.output, "headroom.html\n1\n"), "%s", run.output);
	run = shell(&trial.arena,
		"\"$LEANRICH\" headroom --no-moves --output $SCRATCH/o $SCRATCH/h.xml | grep -c 'next pipe "
		"size\\|316L:'; "
		"grep -c 'not asked' $SCRATCH/o/H/headroom.html");
	cr_expect_str_eq(run.output, "0\n1\n", "%s", run.output);
}

/* Nothing turns in a narrow range; above 100 wt% nothing is computed, and each such point says why. */
Test(command, a_sweep_says_where_nothing_turns_and_where_nothing_can_be_computed)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH sweep --vary strength\"; D=designs/curlew-spit.xml; "
		"$R --from '29.5 wt%' --to '30 wt%' --steps 3 --show 3-P-1201.material,E-122.heat-transfer "
		"--output "
		"$SCRATCH/a $D; "
		"$R --from '30 wt%' --to '110 wt%' --steps 3 --output $SCRATCH/b $D | grep -v 'turns\\|->'; "
		"$R --from '30 wt%' --to '110 wt%' --steps 3 --json $D >$SCRATCH/c.json; "
		"cut -d, -f1-5 $SCRATCH/a/U-120/sweep.csv; "
		"grep -c 'No verdict turns in this range' $SCRATCH/a/U-120/sweep.html; "
		"grep -c 'At 110 wt% nothing could be computed: ' $SCRATCH/b/U-120/sweep.html; "
		"grep -o 'above 100 wt%' $SCRATCH/c.json");
	cr_expect(strstr(run.output, "No verdict turns in this range.\n"), "%s", run.output);
	cr_expect(strstr(run.output, "\n110 wt%        cannot be computed: strength \"110 wt%\": above 100 wt%\n"),
		"%s", run.output);
	cr_expect(strstr(run.output, "\n29.5,,carbon steel,,"), "%s", run.output);
	cr_expect(strstr(run.output, "\n1\n1\nabove 100 wt%\n"), "%s", run.output);
}

/* What each short name of a sweep means, of a unit that holds more of every sort: an override of a case goes with its value. */
Test(command, a_sweep_sets_what_its_short_name_means)
{
	static const char unit[] =
		"<unit xmlns=\"urn:leanrich:unit:1\" number=\"W\" name=\"W\"><basis><case id=\"normal\"/><case "
		"id=\"summer\"/></basis><solvent amine=\"DEA\" strength=\"30 wt%%\"/>"
		"<gas id=\"a\" role=\"feed\" h2s=\"1 mol%%\"/><gas id=\"b\" h2s=\"2 mol%%\"/><gas id=\"t\" "
		"role=\"treated\" "
		"h2s=\"4 ppmv\"/><stream id=\"hot\" service=\"lean\" temperature=\"120 degC\" h2s=\"0.01\" "
		"co2=\"0.01\"/>"
		"<stream id=\"cold\" service=\"lean\" temperature=\"45 degC\" h2s=\"0.01\" co2=\"0.01\"><in "
		"case=\"summer\" temperature=\"52 degC\"/></stream><stream id=\"rich\" service=\"rich\" "
		"temperature=\"60 degC\" h2s=\"0.3\" co2=\"0.01\"/><absorber tag=\"C-1\" gas=\"a\" treated=\"t\" "
		"lean=\"cold\" rich=\"rich\"/><reboiler tag=\"E-1\" lean=\"hot\" steam-flow=\"5 t/h\"/></unit>";
	static const struct {
		const char *vary, *unit, *set;
	} rows[] = {
		{"gas-h2s", " mol%", "a h2s b h2s\n"},
		{"lean-loading", "", "hot h2s cold h2s\n"},
		{"lean-temperature", " degC", "cold temperature\n"},
		{"steam", " t/h", "E-1 steam-flow\n"},
		{"strength", " wt%", "solvent strength\n"},
		{"rich.h2s", "", "rich h2s\n"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct run run = shell(&trial.arena,
			arena_format(&trial.arena,
				"echo '%s' >$SCRATCH/w.xml; \"$LEANRICH\" sweep --vary %s --from '0.01%s' --to "
				"'0.02%s' --steps 3 "
				"--json $SCRATCH/w.xml | sed -n '/\"set\"/,/\\]/s/.*\"\\(item\\|name\\)\": "
				"\"\\([^\"]*\\)\".*/\\2/p' | paste -sd' '",
				arena_format(&trial.arena, unit), rows[i].vary, rows[i].unit, rows[i].unit));
		cr_expect_str_eq(run.output, rows[i].set, "%s: %.800s%s", rows[i].vary, run.output, run.errors);
	}
}

/* The case asked for by name is the one judged; one that is not declared is refused. */
Test(command, a_review_of_one_case)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH review --no-samples --output $SCRATCH/o\"; D=designs/curlew-spit.xml; $R --case summer "
		"$D | grep "
		"-c 'Hot weather'; $R --case normal $D | grep -c 'Hot weather'; $R --case autumn $D; echo $?");
	cr_expect(strchr(run.output, '\n') && strtol(run.output, NULL, 10) > 2, "%s", run.output);
	cr_expect_str_eq(strchr(run.output, '\n'), "\n0\n2\n", "%s", run.output);
	cr_expect_str_eq(run.errors, "leanrich: designs/curlew-spit.xml declares no operating case 'autumn'\n");
}

/*
 * A process that is killed takes the design it was at with it and no other. Nobody writes into the pipe that is first, so the
 * process waits there until it is killed.
 */
Test(command, a_killed_process_of_a_portfolio_loses_one_design)
{
	struct run run = shell(&trial.arena,
		"mkfifo $SCRATCH/pipe.xml; \"$LEANRICH\" portfolio --jobs 1 --output $SCRATCH/o $SCRATCH/pipe.xml "
		"designs/curlew-spit.xml designs/heron-gate.xml & P=$!; "
		"for i in $(seq 200); do C=$(grep -l \"^PPid:[[:space:]]*$P$\" /proc/[0-9]*/status 2>/dev/null); "
		"[ -z \"$C\" ] || break; sleep 0.05; done; "
		"C=${C%/status}; kill -KILL ${C#/proc/}; wait $P; echo $?; "
		"grep -c designs/ $SCRATCH/o/portfolio.csv; grep -o 'pipe.xml.*by signal 9' "
		"$SCRATCH/o/portfolio.csv | tr -d ,");
	cr_expect(strstr(run.output, "2 reviewed, 1 not"), "%s%s", run.output, run.errors);
	cr_expect(strstr(run.output, "\n3\n2\npipe.xmlthe review was ended by signal 9\n"), "%s%s", run.output,
		run.errors);
}

/*
 * A file may be named in bytes that are no text: its record shows a question mark for each. Records of two profiles are in one
 * table that says so, and what was expected and has none is named.
 */
Test(command, a_portfolio_tells_what_does_not_belong_together_and_what_is_missing)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH portfolio\"; cd designs; cp heron-gate.xml $SCRATCH/a$(printf '\\377')b.xml; "
		"$R --profile strictest --records $SCRATCH/1 curlew-spit.xml; (cd $SCRATCH; $R --records $SCRATCH/2 "
		"a*b.xml); "
		"printf 'curlew-spit.xml\\ntern-quay.xml\\n' >$SCRATCH/list; "
		"$R --collate --quiet --files-from $SCRATCH/list --output $SCRATCH/o $SCRATCH/1 $SCRATCH/2; echo $?; "
		"grep -o '[^,]*xml,[^,]*' $SCRATCH/o/portfolio.csv; "
		"grep -o 'several: these rows do not compare' $SCRATCH/o/portfolio.html; "
		"$R --collate --quiet --output $SCRATCH/p $SCRATCH/1; grep -c 'several: these' "
		"$SCRATCH/p/portfolio.html; "
		"echo '{\"portfolio\":1,\"counts\":[]}' >$SCRATCH/3; $R --collate --output $SCRATCH/q $SCRATCH/3");
	cr_expect_str_eq(run.output,
		"3\ncurlew-spit.xml,\na?b.xml,\ntern-quay.xml,no record of it: whoever was to make it did not end\n"
		"several: these rows do not compare\n0\n",
		"%s", run.output);
	cr_expect(strstr(run.errors, "/3:1:1: not-a-record: no record of `leanrich portfolio`: it names no file\n"),
		"%s", run.errors);
}

/* What could not be read is told from what could not be used by its record, whatever words are in a name. */
Test(command, a_portfolio_ends_with_4_only_where_a_file_could_not_be_read)
{
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; R=\"$LEANRICH portfolio --quiet --output o\"; F='a: unreadable: b.xml'; echo '<unit/>' "
		">\"$F\"; "
		"$R \"$F\"; echo $?; $R none.xml \"$F\"; echo $?; $LEANRICH portfolio --records r none.xml; "
		"$R --collate r; echo $?");
	cr_expect_str_eq(run.output, "3\n4\n4\n", "%s%s", run.output, run.errors);
}

/* Another program takes the place of the one that lays out paper, and fails in the ways a program can. */
Test(command, sheets_that_cannot_be_laid_out_say_why)
{
	static const struct {
		const char *stand_in, *said;
	} rows[] = {
		{"kill -TERM $$", ": weasyprint was ended by signal 15\n"},
		{"exit 127", ": weasyprint could not be started\n"},
		{"exit 5", ": weasyprint failed with exit status 5\n"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct run run = shell(&trial.arena,
			arena_format(&trial.arena,
				"mkdir -p $SCRATCH/bin $SCRATCH/tmp; printf '#!/bin/sh\\n%%s\\n' '%s' "
				">$SCRATCH/bin/weasyprint; "
				"chmod +x $SCRATCH/bin/weasyprint; PATH=$SCRATCH/bin:$PATH TMPDIR=$SCRATCH/tmp "
				"\"$LEANRICH\" "
				"review --no-samples --quiet --pdf --output $SCRATCH/o designs/curlew-spit.xml; echo "
				"$?; ls $SCRATCH/tmp; ls $SCRATCH/o/U-120",
				rows[i].stand_in));
		cr_expect(strstr(run.errors, rows[i].said), "%s: %s", rows[i].stand_in, run.errors);
		cr_expect_str_eq(run.output, "4\nreview.csv\nreview.html\nreview.json\n", "left: %s", run.output);
	}
}

/* The layout program takes minutes for a word of thousands of letters: on paper, and only there, such a word is cut. */
Test(command, sheets_cut_a_word_that_cannot_be_laid_out)
{
	struct run run = shell(&trial.arena,
		"mkdir -p $SCRATCH/bin; printf '#!/bin/sh\\ncat\\n' >$SCRATCH/bin/weasyprint; chmod +x "
		"$SCRATCH/bin/weasyprint; "
		"sed \"s/3-P-1201/$(head -c 3000 /dev/zero | tr '\\0' P)/\" designs/curlew-spit.xml >$SCRATCH/d.xml; "
		"PATH=$SCRATCH/bin:$PATH \"$LEANRICH\" review --no-samples --quiet --pdf --output $SCRATCH/o "
		"$SCRATCH/d.xml; "
		"cd $SCRATCH/o/U-120; grep -q '>P\\{3000\\}<' review.html && echo whole; "
		"grep -q '>P\\{120\\}…<' review.pdf && echo cut; grep -q '>P\\{121\\}' review.pdf || echo nowhere "
		"longer");
	cr_expect_str_eq(run.output, "whole\ncut\nnowhere longer\n", "%s%s", run.output, run.errors);
}

/* The description goes along under its name, made plain; a name that says nothing gives way to one that does. */
Test(command, sheets_carry_the_description_under_a_plain_name)
{
	struct run run = shell(&trial.arena,
		"mkdir -p $SCRATCH/bin; printf '#!/bin/sh\\ncat >/dev/null; echo \"$@\"\\n' >$SCRATCH/bin/weasyprint; "
		"chmod +x "
		"$SCRATCH/bin/weasyprint; D=$PWD/designs/curlew-spit.xml; cd $SCRATCH; cp $D 'unit 120 (rev B).xml'; "
		"cp $D .xml; "
		"cp $D plain; for name in 'unit 120 (rev B).xml' .xml plain -; do TMPDIR=relative "
		"PATH=$SCRATCH/bin:$PATH "
		"\"$LEANRICH\" review --no-samples --quiet --pdf --output o \"$name\" <$D; sed "
		"'s/.*\\(.tmp.leanrich-\\)[^/]*\\(.[^ ]*\\).*/\\1*\\2/' o/U-120/review.pdf; done");
	cr_expect_str_eq(run.output,
		"/tmp/leanrich-*/unit_120__rev_B_.xml\n/tmp/leanrich-*/description.xml\n/tmp/leanrich-*/"
		"description.xml\n"
		"/tmp/leanrich-*/description.xml\n",
		"%s%s", run.output, run.errors);
}

/* The copy of the description that goes into the sheets needs a folder for a while. */
Test(command, sheets_without_a_temporary_folder_are_refused)
{
	struct run run = shell(&trial.arena,
		"TMPDIR=$SCRATCH/none \"$LEANRICH\" review --no-samples --quiet --pdf --output $SCRATCH/o "
		"designs/curlew-spit.xml; echo $?");
	cr_expect_str_eq(run.output, "4\n");
	cr_expect(strstr(run.errors, "the copy to attach: No such file or directory\n"), "%s", run.errors);
}

/* ---- several descriptions in one run ---- */

/* Three revisions of one unit: named each, and nothing written, of the others neither. Told apart they are all there. */
Test(command, descriptions_of_one_unit_do_not_overwrite_each_other)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH review --quiet --no-samples\"; cp -r designs $SCRATCH; cd $SCRATCH; "
		"$R --output o designs/cobble-hythe.xml designs/heron-gate.xml designs/cobble-hythe-revamp.xml "
		"designs/cobble-hythe.xml; echo $?; test -e o || echo nothing written; "
		"$R --by-file --output o designs/cobble-hythe.xml designs/heron-gate.xml "
		"designs/cobble-hythe-revamp.xml; "
		"echo $?; find o -name review.json | sort; "
		"cat designs/heron-gate.xml | $R --by-file --output p - designs/cobble-hythe.xml; find p -name "
		"review.json | sort");
	cr_expect_str_eq(run.output,
		"3\nnothing written\n1\no/U-050/heron-gate/review.json\no/U-220/cobble-hythe-revamp/review.json\n"
		"o/U-220/cobble-hythe/review.json\np/U-050/standard-input/review.json\np/U-220/cobble-hythe/"
		"review.json\n",
		"%s%s", run.output, run.errors);
	cr_expect_str_eq(run.errors,
		"designs/cobble-hythe-revamp.xml:11:35: duplicate: unit U-220: its reports would go into o/U-220, over "
		"those "
		"of designs/cobble-hythe.xml; --by-file gives each file a folder of its own, and so does a run of its "
		"own "
		"with another --output\n"
		"designs/cobble-hythe.xml:11:35: duplicate: unit U-220: its reports would go into o/U-220, over those "
		"of "
		"designs/cobble-hythe.xml; --by-file gives each file a folder of its own, and so does a run of its own "
		"with "
		"another --output\n");
}

/* It is the folder that counts: numbers that differ only in what no folder may be named, and units without one. */
Test(command, folders_are_told_apart_not_numbers)
{
	struct run run = shell(&trial.arena,
		"unit() { echo \"<unit xmlns='urn:leanrich:unit:1' $1><solvent amine='DEA' strength='30 "
		"wt%'/></unit>\"; }; "
		"cd $SCRATCH; unit \"number='U/1'\" >a.xml; unit \"number='U 1'\" >b.xml; unit \"number='U-1'\" "
		">c.xml; "
		"mkdir d; cp a.xml d; R=\"$LEANRICH review --quiet --no-samples --output o\"; "
		"$R a.xml b.xml 2>/dev/null; echo $?; $R a.xml c.xml; echo $?; rm -r o; $R --by-file a.xml d/a.xml "
		"2>/dev/null; "
		"echo $?; test -e o || echo nothing written; $LEANRICH review --json --no-samples a.xml a.xml | grep "
		"-c '\"number\"'; "
		"mkfifo pipe; cat c.xml >pipe & $R pipe a.xml; echo $?; ls o; "
		"echo '<unit/>' >e.xml; $R e.xml e.xml a.xml 2>/dev/null; echo $?; "
		"$R e.xml a.xml e.xml a.xml 2>&1 | sed 's/:.*//'");
	cr_expect_str_eq(run.output, "3\n0\n3\nnothing written\n2\n0\nU-1\nU_1\n3\na.xml\ne.xml\ne.xml\n", "%s%s",
		run.output, run.errors);
}

/* ---- many units ---- */

/* Of one number: a row each. The same record twice, or the same file twice in one run: said, and the same bytes both ways. */
Test(command, a_portfolio_shows_what_comes_twice_and_says_so)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH portfolio\"; A=designs/heron-gate.xml; cp $A $SCRATCH/b.xml; B=$SCRATCH/b.xml; "
		"$R --output $SCRATCH/1 $A $B | grep -c 'came twice'; grep -c U-050 $SCRATCH/1/portfolio.csv; "
		"$R --records $SCRATCH/r $A; $R --records $SCRATCH/s $B; "
		"$R --collate --quiet --output $SCRATCH/2 $SCRATCH/r $SCRATCH/s; "
		"$R --collate --output $SCRATCH/3 $SCRATCH/r $SCRATCH/s $SCRATCH/r | grep 'came twice'; echo $?; "
		"grep -c U-050 $SCRATCH/3/portfolio.csv; grep -c 'Came twice: 1 of the rows' "
		"$SCRATCH/3/portfolio.html; "
		"$R --output $SCRATCH/4 $A $B $A | grep 'came twice'; "
		"cmp $SCRATCH/1/portfolio.html $SCRATCH/2/portfolio.html && cmp $SCRATCH/3/portfolio.html "
		"$SCRATCH/4/portfolio.html && echo same bytes");
	cr_expect_str_eq(run.output,
		"0\n2\n1 of them came twice: a file has more than one row\n0\n3\n1\n"
		"1 of them came twice: a file has more than one row\nsame bytes\n",
		"%s%s", run.output, run.errors);
	const char *said = arena_format(&trial.arena,
		"%s/r:1:1: duplicate: the record of designs/heron-gate.xml came already at %s/r:1; both are shown and "
		"counted\n",
		getenv("SCRATCH"), getenv("SCRATCH"));
	cr_expect_str_eq(run.errors, said);
}
