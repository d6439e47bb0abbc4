/* The next revision of a draft over an edited description. All descriptions are invented. */
#include <criterion/criterion.h>
#include <string.h>

#include "command/commands.h"
#include "import/merge.h"
#include "review_support.h"

static struct arena arena;

static void release(void)
{
	shell_end();
	arena_release(&arena);
}

TestSuite(merge, .init = shell_begin, .fini = release);

struct result {
	struct merged merged;
	const char *text, *conflicts, *taken;
};

static struct document parsed(const struct vocabulary *unit, const char *name, const char *text)
{
	struct problems problems = {.arena = &arena};
	struct document document = document_parse(&arena, name, text, strlen(text), &problems);
	bool sound = document.tree && document_check(&document, unit, &problems);
	cr_assert(sound && problems.count == 0, "%s: %s\n%s", name, problem_lines(&arena, &problems), text);
	return document;
}

/* What is made is a sound description again, whatever was merged. */
static struct result merge(const char *base, const char *next, const char *edited)
{
	const struct vocabulary *unit = unit_vocabulary(&arena);
	struct document documents[] = {
		parsed(unit, "base.xml", base), parsed(unit, "next.xml", next), parsed(unit, "edited.xml", edited)};
	struct problems conflicts = {.arena = &arena}, taken = {.arena = &arena};
	struct result result = {.merged = merge_revision(
					&arena, unit, &documents[0], &documents[1], &documents[2], &conflicts, &taken)};
	result.text = result.merged.text;
	result.conflicts = problem_lines(&arena, &conflicts);
	result.taken = problem_lines(&arena, &taken);
	struct document made = parsed(unit, "merged.xml", result.text);
	document_release(&made);
	for (size_t i = 0; i < sizeof documents / sizeof *documents; i++)
		document_release(&documents[i]);
	return result;
}

/* Items within a unit, on one line each. */
static const char *unit_of(const char *items)
{
	return arena_format(&arena, "<unit xmlns=\"urn:leanrich:unit:1\" number=\"U-1\">\n%s\n</unit>\n", items);
}

static struct result merge_items(const char *base, const char *next, const char *edited)
{
	return merge(unit_of(base), unit_of(next), unit_of(edited));
}

static void expect(struct result result, const char *items, size_t conflicts)
{
	cr_expect_str_eq(result.text, unit_of(items), "%s%s", result.text, result.conflicts);
	cr_expect_eq(result.merged.conflicts, conflicts, "%s", result.conflicts);
}

Test(merge, planted_changes_of_two_revisions)
{
	struct result result = merge(file_text(&arena, "tests/data/merge_base.xml"),
		file_text(&arena, "tests/data/merge_next.xml"), file_text(&arena, "tests/data/merge_edited.xml"));
	expect_listed(&arena, result.text, "tests/data/merge_result.xml");
	expect_listed(
		&arena, arena_format(&arena, "%s%s", result.conflicts, result.taken), "tests/data/merge_said.txt");
}

Test(merge, what_nobody_changed_stays_to_the_byte)
{
	const char *edited = file_text(&arena, "tests/data/merge_edited.xml");
	const char *base = file_text(&arena, "tests/data/merge_base.xml");
	struct result same = merge(base, base, edited);
	cr_expect_str_eq(same.text, edited);
	cr_expect(same.merged.conflicts == 0 && same.merged.values == 0 && same.merged.added == 0 &&
		same.merged.removed == 0);
	const char *next = file_text(&arena, "tests/data/merge_next.xml");
	struct result all = merge(base, next, base);
	cr_expect_eq(all.merged.conflicts, 0, "%s", all.conflicts);
	struct result again = merge(next, next, all.text);
	cr_expect_str_eq(again.text, all.text);
}

Test(merge, shipped_designs_merged_with_themselves_stay)
{
	const char *tern = file_text(&arena, "designs/tern-quay.xml");
	struct result same = merge(tern, tern, tern);
	cr_expect_str_eq(same.text, tern);
}

Test(merge, one_side_is_taken_both_alike_are_no_conflict)
{
	expect(merge_items("<line tag=\"A\" size=\"NPS 2\" pwht=\"no\"/>",
		       "<line tag=\"A\" size=\"NPS 3\" pwht=\"yes\"/>",
		       "<line tag=\"A\" size=\"NPS 2\" pwht=\"yes\" traced=\"no\"/>"),
		"<line tag=\"A\" size=\"NPS 3\" pwht=\"yes\" traced=\"no\"/>", 0);
	expect(merge_items("<line tag=\"A\" size=\"NPS 2\" pwht=\"no\"/>", "<line tag=\"A\" size=\"NPS 2\"/>",
		       "<line tag=\"A\" size='NPS 2' pwht=\"no\" />"),
		"<line tag=\"A\" size='NPS 2' />", 0);
	expect(merge_items("<line tag=\"A\"/>", "<line tag=\"A\" piping-class=\"a &lt; &quot;b&quot; &amp; c\"/>",
		       "<line tag=\"A\"/>"),
		"<line tag=\"A\" piping-class=\"a &lt; &quot;b&quot; &amp; c\"/>", 0);
	expect(merge_items("<line tag=\"A\" size=\"NPS  2\"/>", "<line tag=\"A\" size=\"NPS 2\"/>",
		       "<line tag=\"A\" size=\"NPS 3\"/>"),
		"<line tag=\"A\" size=\"NPS 3\"/>", 0);
}

Test(merge, a_conflict_is_a_statement_where_a_document_may_state_it)
{
	struct result result = merge_items("<line tag=\"A\" pressure=\"4 bar(g)\" size=\"NPS 2\" data=\"LL rev 1\"/>",
		"<line tag=\"A\" pressure=\"6 bar(g)\" size=\"NPS 4\" data=\"LL rev 2\"/>",
		"<line tag=\"A\" pressure=\"5 bar(g)\" size=\"NPS 3\" data=\"LL rev 1\"/>");
	expect(result,
		"<line tag=\"A\" pressure=\"5 bar(g)\" size=\"NPS 3\" data=\"LL rev 2\">\n"
		"  <stated document=\"LL rev 2\" pressure=\"6 bar(g)\" size=\"NPS 4\"/>\n</line>",
		2);
	cr_expect(strstr(result.conflicts,
			  "edited.xml:2:15: conflict: pressure of line A: the draft changes '4 bar(g)' to '6 bar(g)' "
			  "(next.xml:2), "
			  "this file says '5 bar(g)' and keeps it; the other stands as <stated>"),
		"%s", result.conflicts);
}

/* What the next issue says of an operating case is a statement about the item in that case. */
Test(merge, a_conflict_in_a_case_is_a_statement_of_that_case)
{
	static const char item[] =
		"<line tag=\"L-1\" data=\"list!A1\">\n  <in case=\"max\" temperature=\"%s degC\"/>\n</line>";
	const char *texts[3], *values[] = {"60", "70", "65"};
	for (size_t i = 0; i < 3; i++)
		texts[i] = arena_format(&arena, "<basis><case id=\"normal\"/><case id=\"max\"/></basis>\n%s",
			arena_format(&arena, item, values[i]));
	struct result result = merge_items(texts[0], texts[1], texts[2]);
	cr_expect(result.merged.conflicts == 1);
	cr_expect(strstr(result.text, "<in case=\"max\" temperature=\"65 degC\"/>"), "%s", result.text);
	cr_expect(strstr(result.text, "<stated document=\"list!A1\" case=\"max\" temperature=\"70 degC\"/>"), "%s",
		result.text);
}

/* 12.50 and 12.5 barg are one value; 12.5 psig is another, and so is another grade. */
Test(merge, a_figure_is_no_change_for_its_zeros)
{
	struct result result = merge_items("<line tag=\"L-1\" pressure=\"12.50 barg\"/>",
		"<line tag=\"L-1\" pressure=\"12.5 barg\"/>", "<line tag=\"L-1\" pressure=\"13 barg\"/>");
	cr_expect(
		result.merged.conflicts == 0 && strstr(result.text, "13 barg"), "%s%s", result.text, result.conflicts);
	result = merge_items("<line tag=\"L-1\" pressure=\"12.5 barg\"/>", "<line tag=\"L-1\" pressure=\"12.5 psig\"/>",
		"<line tag=\"L-1\" pressure=\"13 barg\"/>");
	cr_expect(result.merged.conflicts == 1, "%s", result.text);
}

Test(merge, a_conflict_that_none_can_state_is_a_comment)
{
	struct result result = merge_items(
		"<line tag=\"A\" from=\"V-1\"/>", "<line tag=\"A\" from=\"V--2\"/>", "<line tag=\"A\" from=\"V-3\"/>");
	expect(result,
		"<!-- conflict: from of line A: the draft changes 'V-1' to 'V- -2' (next.xml:2); kept: 'V-3' -->\n"
		"<line tag=\"A\" from=\"V-3\"/>",
		1);
	result = merge_items("<line tag=\"A\" pwht=\"yes\"/>", "<line tag=\"A\"/>", "<line tag=\"A\" pwht=\"no\"/>");
	cr_expect(result.merged.conflicts == 1 && strstr(result.text, "changes 'yes' to nothing"), "%s", result.text);
}

Test(merge, what_one_side_removed_and_the_other_changed_is_a_conflict)
{
	struct result result = merge_items("<line tag=\"A\"/>\n<line tag=\"B\"/>", "<line tag=\"B\"/>",
		"<line tag=\"A\" traced=\"yes\"/>\n<line tag=\"B\"/>");
	cr_expect(result.merged.conflicts == 1 && result.merged.removed == 0 &&
			strstr(result.text, "<line tag=\"A\" traced=\"yes\"/>"),
		"%s", result.text);
	expect(merge_items("<line tag=\"A\"/>\n<line tag=\"B\"/>", "<line tag=\"B\"/>",
		       "<line tag=\"A\"/>\n<line tag=\"B\"/>"),
		"<line tag=\"B\"/>", 0);
	result = merge_items("<line tag=\"A\"/>", "<line tag=\"A\" traced=\"yes\"/>", "<tank tag=\"T\"/>");
	cr_expect(result.merged.conflicts == 1 && !strstr(result.text, "<line") &&
			strstr(result.conflicts, "line A was removed here, and the draft changes it"),
		"%s", result.text);
	expect(merge_items("<line tag=\"A\"/>", "<line tag=\"A\"/>", "<tank tag=\"T\"/>"), "<tank tag=\"T\"/>", 0);
}

Test(merge, cases_documents_and_parts_are_elements_too)
{
	expect(merge_items("<stream id=\"S\">\n<in case=\"w\" flow=\"1 t/h\"/>\n</stream>",
		       "<stream id=\"S\">\n<in case=\"w\" flow=\"2 t/h\"/>\n<in case=\"s\" flow=\"3 "
		       "t/h\"/>\n</stream>",
		       "<stream id=\"S\" service=\"lean\">\n<in case=\"w\" flow=\"1 t/h\" temperature=\"40 "
		       "degC\"/>\n</stream>"),
		"<stream id=\"S\" service=\"lean\">\n<in case=\"w\" flow=\"2 t/h\" temperature=\"40 degC\"/>\n<in "
		"case=\"s\" flow=\"3 t/h\"/>\n</stream>",
		0);
	expect(merge_items("<vessel tag=\"V\"/>", "<vessel tag=\"V\"><nozzle tag=\"N1\"/></vessel>",
		       "\t<vessel tag=\"V\"/>"),
		"\t<vessel tag=\"V\">\n\t\t<nozzle tag=\"N1\"/>\n\t</vessel>", 0);
	expect(merge_items("<line tag=\"A\"><note>old</note></line>", "<line tag=\"A\"><note>new</note></line>",
		       "<line tag=\"A\"><note>old</note><note>mine</note></line>"),
		"<line tag=\"A\"><note>mine</note>\n<note>new</note>\n</line>", 0);
}

/* Rows move from revision to revision; the statement of a document is the same one. */
Test(merge, a_statement_is_of_its_document_whatever_its_cells)
{
	expect(merge_items("<line tag=\"A\" data=\"LL!A2:D2\"><stated document=\"MT!A2:C2\" pwht=\"no\"/></line>",
		       "<line tag=\"A\" data=\"LL!A3:D3\"><stated document=\"MT!A9:C9\" pwht=\"yes\"/></line>",
		       "<line tag=\"A\" data=\"LL!A2:D2\" traced=\"no\"><stated document=\"MT!A2:C2\" "
		       "pwht=\"no\"/></line>"),
		"<line tag=\"A\" data=\"LL!A3:D3\" traced=\"no\"><stated document=\"MT!A9:C9\" pwht=\"yes\"/></line>",
		0);
	expect(merge_items("<tank tag=\"T\"/>\n<line tag=\"A\" data=\"LL!A2:D2\"><note "
			   "document=\"LL!A2:D2\">x</note></line>",
		       "<tank tag=\"T\"/>",
		       "<tank tag=\"T\"/>\n<line tag=\"A\" data=\"LL!A5:D5\"><note "
		       "document=\"LL!A5:D5\">x</note></line>"),
		"<tank tag=\"T\"/>", 0);
}

Test(merge, renamed_moved_and_reclassified_items_are_found)
{
	expect(merge_items("<line tag=\"A\" size=\"NPS 2\"/>", "<line tag=\"A\" size=\"NPS 3\"/>",
		       "<line tag=\"A-1\" was=\"A\" size=\"NPS 2\"/>"),
		"<line tag=\"A-1\" was=\"A\" size=\"NPS 3\"/>", 0);
	/* The draft renames it too: the new tag is the reviewer's, the old one is nobody's any more. */
	expect(merge_items("<line tag=\"A\" size=\"NPS 2\"/>", "<line tag=\"A-1\" size=\"NPS 3\"/>",
		       "<line tag=\"A-1\" was=\"A\" size=\"NPS 3\"/>"),
		"<line tag=\"A-1\" was=\"A\" size=\"NPS 3\"/>", 0);
	/* Both tags in the draft, one item here: the old one is new again. */
	expect(merge_items("<line tag=\"A\" size=\"NPS 2\"/>",
		       "<line tag=\"A\" size=\"NPS 4\"/>\n<line tag=\"A-1\" size=\"NPS 3\"/>",
		       "<line tag=\"A-1\" was=\"A\" size=\"NPS 3\"/>"),
		"<line tag=\"A-1\" was=\"A\" size=\"NPS 3\"/>\n"
		"<!-- conflict: line A was removed here, and the draft changes it (next.xml:2); it stays removed -->",
		1);
	expect(merge_items("<vessel tag=\"V\" diameter=\"2 m\"/>", "<vessel tag=\"V\" diameter=\"3 m\"/>",
		       "<flash-drum tag=\"V\" diameter=\"2 m\"/>"),
		"<flash-drum tag=\"V\" diameter=\"3 m\"/>", 0);
	struct result result =
		merge_items("<vessel tag=\"V\"/>", "<tank tag=\"V\"/>", "<flash-drum tag=\"V\" diameter=\"2 m\"/>");
	cr_expect(result.merged.conflicts == 1 && strstr(result.conflicts, "has it as <tank>"), "%s", result.conflicts);
}

Test(merge, the_command_merges_the_next_list)
{
	static const char first[] =
		"printf 'Line,NPS,PWHT\\nA-1,2,N\\nA-2,3,N\\n' >$SCRATCH/b.csv; "
		"printf 'Line,NPS,PWHT\\nA-1,4,Y\\nA-3,3,N\\n' >$SCRATCH/c.csv; "
		"printf '<map xmlns=\"urn:leanrich:map:1\" document=\"LL\"><column heading=\"Line\" field=\"tag\"/>"
		"<column heading=\"NPS\" field=\"size\" unit=\"NPS\"/><column heading=\"PWHT\" field=\"pwht\"><word "
		"written=\"N\" "
		"means=\"no\"/><word written=\"Y\" means=\"yes\"/></column></map>' >$SCRATCH/map.xml; cd $SCRATCH; ";
	const char *run = arena_format(&arena,
		"P=$(realpath $LEANRICH); %s $P import b.csv --map map.xml --quiet --output base.xml; "
		"sed 's/pwht=\"no\"/pwht=\"t.b.d.\"/' base.xml >mine.xml; "
		"$P import c.csv --map map.xml --onto mine.xml --base base.xml --output new.xml; echo $?; "
		"grep -c '<line' new.xml; grep -o '<line tag=\"A-1\".*' new.xml; $P import c.csv --map map.xml --onto "
		"mine.xml; echo $?; "
		"$P import c.csv --map map.xml --onto none.xml --base base.xml --output not.xml; echo $?; ls not.xml",
		first);
	struct run result = shell(&arena, run);
	cr_expect(strstr(result.output, "1\n3\n<line tag=\"A-1\" size=\"NPS 4\" pwht=\"t.b.d.\" data=\"LL\">\n2\n4\n"),
		"%s\n%s", result.output, result.errors);
	cr_expect(strstr(result.errors, "conflict: pwht of line A-1: the draft changes 'no' to 'yes'") &&
			strstr(result.errors, "conflict: line A-2 is no longer in the draft") &&
			strstr(result.errors, "line A-3 is new") &&
			strstr(result.errors, "1 value taken over, 1 added, 0 removed; 2 conflicts") &&
			strstr(result.errors, "--onto and --base belong together"),
		"%s", result.errors);
}

/* Once more over what was merged, from the same base: all conflicts are listed again, and nothing stands twice. */
Test(merge, the_same_revision_again_changes_nothing)
{
	const char *base = unit_of("<line tag=\"A\" from=\"V-1\" pressure=\"4 bar(g)\" data=\"LL\"/>\n"
				   "<line tag=\"B\"/>\n<line tag=\"C\"/>"),
		   *next = unit_of("<line tag=\"A\" from=\"V--2\" to=\"V-4\" pressure=\"6 bar(g)\" data=\"LL\"/>\n"
				   "<line tag=\"B\" traced=\"yes\"/>"),
		   *edited = unit_of("<line tag=\"A\" from=\"V-3\" to=\"V-5\" pressure=\"5 bar(g)\" data=\"LL\"/>\n"
				     "<line tag=\"C\" pwht=\"yes\"/>");
	struct result once = merge(base, next, edited), twice = merge(base, next, once.text);
	cr_expect_eq(once.merged.conflicts, 5, "%s", once.conflicts);
	cr_expect_eq(twice.merged.conflicts, 5, "%s", twice.conflicts);
	cr_expect_str_eq(twice.text, once.text);
	/* another figure of a later revision is said beside it */
	struct result later = merge(base, unit_of("<line tag=\"A\" from=\"V-9\" data=\"LL\"/>"), once.text);
	cr_expect(strstr(later.text, "to 'V-9'") && strstr(later.text, "to 'V- -2'"), "%s", later.text);
}

/* Rows in another order, and thousands that are named alike. */
Test(merge, thousands_of_elements_are_found_by_their_names)
{
	enum { MANY = 3000 };
	struct text base = text_in(&arena), next = text_in(&arena);
	for (int i = 0; i < MANY; i++) {
		text_addf(&base, "<line tag=\"L-%d\" size=\"NPS 2\"/>\n<note>alike</note>\n", i);
		text_addf(&next, "<line tag=\"L-%d\" size=\"NPS 3\"/>\n<note>alike</note>\n", MANY - 1 - i);
	}
	struct result result = merge_items(base.data, next.data, base.data);
	cr_expect(result.merged.values == MANY && !result.merged.conflicts && !result.merged.added &&
			!result.merged.removed,
		"%zu values", result.merged.values);
}

static struct run streams_imported(int count)
{
	static const char first[] =
		"P=$(realpath $LEANRICH); cd $SCRATCH; "
		"printf '<map xmlns=\"urn:leanrich:map:1\"><sheet name=\"big\" lists=\"streams\"><column "
		"heading=\"Stream\" "
		"field=\"tag\"/><column heading=\"Temp\" field=\"temperature\" unit=\"C\"/></sheet></map>' >map.xml; ";
	return shell(&arena,
		arena_format(&arena,
			"%s{ echo Stream,Temp; for i in $(seq %d); do echo $i,40; done; } >big.csv; $P import big.csv "
			"--map map.xml --output big.xml 2>said; echo $?; grep -c '<stream' big.xml; grep -c too-large "
			"said; $P import big.csv --map map.xml --onto big.xml --base big.xml --output new.xml 2>said; "
			"cmp big.xml new.xml; grep -c too-large said",
			first, count));
}

/* What no review takes whole is imported and merged all the same, and how to divide it is said once. */
Test(merge, a_draft_larger_than_a_review_is_written)
{
	struct run large = streams_imported(DOCUMENT_MOST_ELEMENTS);
	cr_expect_str_eq(large.output, "1\n20000\n1\n1\n", "%s\n%s", large.output, large.errors);
	struct run within = streams_imported(DOCUMENT_MOST_ELEMENTS - 1);
	cr_expect(strstr(within.output, "19999\n0\n0\n"), "%s\n%s", within.output, within.errors);
}

/* ---- every way in which two sides can change one thing ---- */

enum { ITEMS = 400, WAYS = 3 };

/* 0: as it was, 1: changed by this side, 2: taken out. */
static unsigned way(unsigned *state)
{
	*state = *state * 1103515245u + 12345u;
	return *state / 65536u % WAYS;
}

static void add_line(struct text *out, int i, const char *pwht, const char *size)
{
	text_addf(out, "<line tag=\"L-%d\"%s%s%s%s%s%s/>\n", i, pwht ? " pwht=\"" : "", pwht ? pwht : "",
		pwht ? "\"" : "", size ? " size=\"" : "", size ? size : "", size ? "\"" : "");
}

/* Who changed alone is followed, both alike is no conflict, and of two changes the reviewer's stays. */
Test(merge, each_value_is_that_of_who_changed_it)
{
	static const char *const by_next[] = {"no", "yes", NULL}, *const by_edited[] = {"no", "t.b.d.", NULL};
	static const char *const size_next[] = {"NPS 2", "NPS 3", NULL},
				 *const size_edited[] = {"NPS 2", "NPS 3", NULL};
	struct text base = text_in(&arena), next = text_in(&arena), edited = text_in(&arena), kept = text_in(&arena);
	unsigned state = 20261130;
	size_t conflicts = 0;
	for (int i = 0; i < ITEMS; i++) {
		unsigned n = way(&state), e = way(&state), sn = way(&state), se = way(&state);
		add_line(&base, i, "no", "NPS 2");
		add_line(&next, i, by_next[n], size_next[sn]);
		add_line(&edited, i, by_edited[e], size_edited[se]);
		/* of pwht both changes differ, unless both took it out; of the size both are the same */
		const char *pwht = e ? by_edited[e] : by_next[n], *size = se ? size_edited[se] : size_next[sn];
		text_addf(&kept, "%d %s %s\n", i, pwht ? pwht : "-", size ? size : "-");
		conflicts += (n && e && !(n == 2 && e == 2) ? 1u : 0u) + (sn && se && sn != se ? 1u : 0u);
	}
	struct result result = merge_items(base.data, next.data, edited.data);
	cr_expect_eq(result.merged.conflicts, conflicts);
	struct problems problems = {.arena = &arena};
	const struct element *unit = element_parse(
		&arena, "merged.xml", result.text, strlen(result.text), unit_vocabulary(&arena), &problems);
	cr_assert(unit && unit->child_count == ITEMS);
	struct text found = text_in(&arena);
	for (size_t i = 0; i < unit->child_count; i++)
		text_addf(&found, "%zu %s %s\n", i, element_attribute_or(unit->children[i], "pwht", "-"),
			element_attribute_or(unit->children[i], "size", "-"));
	cr_expect_str_eq(found.data, kept.data);
}
