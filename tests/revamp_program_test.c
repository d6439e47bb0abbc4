/*
 * The commands for a revamp as they are run: portfolio, rounds, sweep.
 */
#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include "review_support.h"

static struct trial trial;

/* ---- the program ---- */

Test(revamp, a_portfolio_is_the_same_on_one_core_and_on_two, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"for jobs in 1 2 7; do \"$LEANRICH\" portfolio --quiet --jobs $jobs --output $SCRATCH/$jobs "
		"designs/*.xml "
		"tests/broken/text.xml designs/curlew-spit.xml; echo $?; done; cmp $SCRATCH/1/portfolio.html "
		"$SCRATCH/2/portfolio.html "
		"&& cmp $SCRATCH/1/portfolio.csv $SCRATCH/7/portfolio.csv && echo $(($(grep -c xml "
		"$SCRATCH/1/portfolio.csv) - $(ls designs/*.xml | wc -l)))");
	cr_expect_str_eq(run.output, "3\n3\n3\n2\n", "%s%s", run.output, run.errors);
}

/* Records that were cut or made by something else: every one is named by file, line and column, and nothing is written. */
Test(revamp, records_that_are_none_are_named, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH\"; $R portfolio --records $SCRATCH/r designs/heron-gate.xml designs/none.xml; "
		"{ cat $SCRATCH/r; head -c 100 $SCRATCH/r; echo; echo '{\"portfolio\":1,\"file\":\"x\"}'; echo; echo "
		"'[]'; } >$SCRATCH/x; "
		"$R portfolio --collate --output $SCRATCH/out $SCRATCH/x 2>&1 | sed 's/.*x:/x:/'; test -e $SCRATCH/out "
		"|| echo nothing written");
	cr_expect(
		strstr(run.output, "x:3:100: not-a-record: no record of `leanrich portfolio`: premature end of input"),
		"%s", run.output);
	cr_expect(strstr(run.output, "\nx:4:1: not-a-record: no record of `leanrich portfolio`: its counts, families"),
		"%s", run.output);
	cr_expect(strstr(run.output,
			  "\nx:6:1: not-a-record: no record of `leanrich portfolio`: it has no \"portfolio\": 1\n"),
		"%s", run.output);
	cr_expect(strstr(run.output, "nothing written"), "%s", run.output);
}

/* Two rounds as people go through them: the sheet written, answered, read back; written again, read back again. */
Test(revamp, two_rounds_of_the_demo, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH\"; $R review --quiet --output $SCRATCH/1 designs/cobble-hythe.xml; "
		"sed -E '/^CRK-002.8-P/s/,,,,,open/,line relieved,,,,answered/; "
		"/^WHS-001/s/,,,,,open/,certificates,,,,closed/' "
		"$SCRATCH/1/U-220/review.csv >$SCRATCH/answered.csv; "
		"$R review --output $SCRATCH/2 --replies $SCRATCH/answered.csv designs/cobble-hythe-revamp.xml | grep "
		"'last round'; "
		"$R review --output $SCRATCH/3 --replies $SCRATCH/2/U-220/review.csv designs/cobble-hythe-revamp.xml | "
		"grep 'last round'; "
		"grep -c 'line relieved' $SCRATCH/3/U-220/review.html; grep -c 'reopened: closed, and nothing has "
		"changed' "
		"$SCRATCH/2/U-220/review.html");
	cr_expect(strstr(run.output, "reopened 1, answered 0"), "%s%s", run.output, run.errors);
	cr_expect(strstr(run.output, "closed 1, closed before 0, unknown 0"), "%s", run.output);
	cr_expect(strstr(run.output, "new 0, reopened 0, answered 1"), "%s", run.output);
	cr_expect(strstr(run.output, "closed 0, closed before 1, unknown 0\n1\n1\n"), "%s", run.output);
}

/* A byte of nothing would hide the replies after it. */
Test(revamp, files_of_lines_with_a_byte_of_nothing_are_refused, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH\"; printf 'Id,Reply,Status\\nVEL-002/6-P-2201/velocity,a\\0b,open\\n' >$SCRATCH/x; "
		"$R review --quiet --output $SCRATCH --replies $SCRATCH/x designs/cobble-hythe.xml 2>&1 | sed "
		"'s/.*x:/x:/'; "
		"$R import $SCRATCH/x --map tests/data/line_list_map.xml 2>&1 | sed 's/.*x:/x:/'; "
		"$R portfolio --quiet --output $SCRATCH --files-from $SCRATCH/x 2>&1 | sed 's/.*x:/x:/'");
	cr_expect_str_eq(run.output,
		"x:2:28: not-xml: byte 0x00 is no text in UTF-8; save the file as CSV in UTF-8\n"
		"x:2:28: not-xml: byte 0x00 is no text in UTF-8; save the file as CSV in UTF-8\n"
		"x:2:28: not-xml: byte 0x00 is no text in UTF-8; save the file as CSV in UTF-8\n",
		"%s%s", run.output, run.errors);
}

Test(revamp, a_sweep_turns_where_the_limit_is, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"\"$LEANRICH\" sweep --vary lean-temperature --from '30 degC' --to '70 degC' --steps 5 --output "
		"$SCRATCH "
		"designs/cobble-hythe.xml | grep -c 'TMP-011 C-221\\|57 degC'; head -n 3 $SCRATCH/U-220/sweep.csv | wc "
		"-l; "
		"\"$LEANRICH\" sweep --vary nothing --from 1 --to 2 designs/cobble-hythe.xml; echo $?; "
		"\"$LEANRICH\" sweep --vary strength --from '20 wt%' --to '3 kg' designs/cobble-hythe.xml; echo $?");
	cr_expect_str_eq(run.output, "1\n3\n2\n2\n", "%s%s", run.output, run.errors);
}

/* Nothing described is nothing cleared; a set says what of it is only stated, and another that leaves more is left out. */
Test(revamp, a_plan_says_what_is_not_shown_and_what_is_not_judged, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"P=\"$LEANRICH plan\"; printf '<unit xmlns=\"urn:leanrich:unit:1\" number=\"9\"/>' >$SCRATCH/x; "
		"$P $SCRATCH/x | grep -c 'Nothing could be judged: this is not all clear'; $P $SCRATCH/x >$SCRATCH/y; "
		"echo $?; $P --json $SCRATCH/x | grep -c '\"judged\": 0'; $P designs/cobble-hythe.xml");
	cr_expect(strstr(run.output, "1\n1\n1\n") == run.output, "%s%s", run.output, run.errors);
	cr_expect(strstr(run.output, "4 changes, 1 of them only stated and to be shown;"), "%s", run.output);
	cr_expect(strstr(run.output, "    tube-rupture-relief: yes: E-225 (stated; to be shown by a study)\n"), "%s",
		run.output);
	cr_expect(strstr(run.output, " verdicts could not be judged, and may be findings too.\n"), "%s", run.output);
	cr_expect(strstr(run.output, "  lean-loading to 0.01662 mol/mol, 0.554 of what is stated\n"), "%s", run.output);
}

/* Every command is a topic, or its name leads to what tells of it. */
Test(revamp, help_leads_from_a_command_to_what_tells_of_it, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"for c in $($LEANRICH --help | sed -n 's/^  \\([a-z]*\\) .*/\\1/p') replies; do $LEANRICH help $c "
		">$SCRATCH/x 2>$SCRATCH/y || grep -q -e \"leanrich $c --help\" -e 'help rounds' $SCRATCH/y || echo $c; "
		"done; $LEANRICH help plan 2>&1; $LEANRICH help revampz 2>&1");
	cr_expect_str_eq(run.output,
		"leanrich help: there is no topic 'plan'; read leanrich help revamps, or leanrich plan --help; "
		"`leanrich help "
		"--help` lists the options\n"
		"leanrich help: there is no topic 'revampz'; did you mean 'revamps'?; `leanrich help --help` lists the "
		"options\n",
		"%s", run.output);
}
