/*
 * What has one cause is one matter, and the gravest comes first: that nothing is lost or told twice, what is held together, the
 * order, what the first page says of a unit, and that it names what a lead engineer named before anything was ranked.
 */
#include <criterion/criterion.h>

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "record/first_page.h"
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

TestSuite(matter, .init = begin, .fini = end);

static const char *const designs[] = {"designs/tern-quay.xml", "designs/cobble-hythe-revamp.xml",
	"designs/saltmarsh-lea.xml", "designs/heron-gate.xml", "designs/curlew-spit.xml"};

static size_t times_in(const struct open_matters *matters, const struct finding *finding)
{
	size_t count = 0;
	for (size_t i = 0; i < matters->count; i++)
		count += matter_has(&matters->rows[i], finding);
	return count;
}

Test(matter, every_finding_that_asks_for_something_is_in_one_matter)
{
	for (size_t d = 0; d < COUNT(designs); d++) {
		trial_review_file(&trial, designs[d]);
		const struct review *review = trial.review;
		size_t open = 0, held = 0;
		for (size_t i = 0; i < review->judgement.count; i++) {
			const struct finding *finding = &review->judgement.findings[i];
			bool asks = finding_action(finding) < ACTION_STATE;
			cr_expect_eq(times_in(&review->matters, finding), asks ? 1 : 0, "%s on %s", finding->rule->id,
				finding->item->tag);
			open += asks;
		}
		for (size_t i = 0; i < review->matters.count; i++)
			held += review->matters.rows[i].count;
		cr_expect_eq(held, open, "%s", designs[d]);
	}
}

/* The action of a matter is the gravest in it: nothing to resolve hides under another. */
Test(matter, the_gravest_leads)
{
	for (size_t d = 0; d < COUNT(designs); d++) {
		trial_review_file(&trial, designs[d]);
		const struct open_matters *matters = &trial.review->matters;
		for (size_t i = 0; i < matters->count; i++)
			for (size_t k = 0; k < matters->rows[i].count; k++)
				cr_expect_geq(matters->rows[i].findings[k]->force, matters->rows[i].lead->force, "%s",
					matters->rows[i].cause);
	}
}

/* Of one action and one consequence what is firm comes before what is borderline. */
Test(matter, borderline_never_stands_before_firm)
{
	for (size_t d = 0; d < COUNT(designs); d++) {
		trial_review_file(&trial, designs[d]);
		const struct open_matters *matters = &trial.review->matters;
		for (size_t i = 0; i < matters->count; i++)
			for (size_t k = i + 1; k < matters->count; k++) {
				const struct finding *first = matters->rows[i].lead, *later = matters->rows[k].lead;
				cr_expect(!(first->force == later->force &&
						  first->rule->consequence == later->rule->consequence &&
						  first->certainty == CERTAINTY_BORDERLINE &&
						  later->certainty == CERTAINTY_FIRM),
					"%s before %s", matters->rows[i].cause, matters->rows[k].cause);
			}
	}
}

static const struct open_matter *matter_called(const char *cause)
{
	const struct open_matters *matters = &trial.review->matters;
	for (size_t i = 0; i < matters->count; i++)
		if (strcmp(matters->rows[i].cause, cause) == 0)
			return &matters->rows[i];
	return NULL;
}

static bool names_place(const struct open_matter *matter, const char *tag)
{
	for (size_t i = 0; i < matter->place_count; i++)
		if (strcmp(matter->places[i]->tag, tag) == 0)
			return true;
	return false;
}

/* A drum with blisters and a bad repair is one matter, its weld, wall and plate with it; a sound vessel of the same steel is not. */
Test(matter, the_state_of_a_damaged_vessel_is_one_matter)
{
	trial_review_file(&trial, "designs/tern-quay.xml");
	const struct open_matter *state = matter_called("State of V-305"), *relief = matter_called("Stress relief");
	cr_assert(state && relief);
	cr_expect_geq(state->count, 5);
	cr_expect_eq(state->place_count, 1, "what is in V-305 only repeats it");
	cr_expect(names_place(relief, "C-301"));
	cr_expect(!names_place(relief, "V-305"), "told with its state");
	cr_expect_null(matter_called("State of C-301"));
}

/* A part is no place of its own where what it is in has the same; a part by itself is. */
Test(matter, a_part_that_repeats_its_parent_is_no_place)
{
	for (size_t d = 0; d < COUNT(designs); d++) {
		trial_review_file(&trial, designs[d]);
		const struct open_matters *matters = &trial.review->matters;
		for (size_t i = 0; i < matters->count; i++)
			for (size_t k = 0; k < matters->rows[i].place_count; k++)
				for (const struct item *around = matters->rows[i].places[k]->parent; around;
					around = around->parent)
					cr_expect(!names_place(&matters->rows[i], around->tag), "%s and %s",
						matters->rows[i].places[k]->tag, around->tag);
	}
}

/* A verdict that only one of two contradicting values gives is no matter of its own: the contradiction leads, as grave as it. */
Test(matter, what_rests_on_a_contradiction_is_told_with_it)
{
	trial_review_file(&trial, "designs/tern-quay.xml");
	const struct open_matters *matters = &trial.review->matters;
	size_t beneath = 0;
	for (size_t i = 0; i < matters->count; i++) {
		const struct open_matter *matter = &matters->rows[i];
		bool held = false;
		for (size_t k = 0; k < matter->count; k++) {
			const struct item *cause = matter->findings[k]->rests_on;
			held = held || cause;
			cr_expect(matter->findings[k]->force != matter->lead->force ||
					matter->consequence <= matter->findings[k]->rule->consequence,
				"%s", matter->cause);
			for (size_t n = 0; cause && n < matter->count; n++)
				beneath += matter->findings[n]->item == cause && n < k;
		}
		cr_expect(!held || !matter->lead->rests_on, "%s", matter->cause);
	}
	cr_expect_geq(beneath, 3);
	const struct open_matter *documents = matter_called("Documents that disagree");
	cr_assert_not_null(documents);
	cr_expect_str_eq(documents->lead->rule->id, "DAT-001");
	cr_expect(!names_place(documents, "C-302"), "its message says so");
}

/* Of the state of a vessel what was found there leads. */
Test(matter, what_was_found_leads_the_state_of_a_vessel)
{
	trial_review_file(&trial, "designs/tern-quay.xml");
	const struct open_matter *state = matter_called("State of V-305");
	cr_assert_not_null(state);
	const char *of = state->lead->rule->matter;
	cr_expect(strcmp(of, "damage found") == 0 || strcmp(of, "weld repair") == 0, "%s", of);
}

/* A line and the pump that it ends at are one place; a pump elsewhere is another. */
Test(matter, a_line_and_what_it_ends_at_are_one_place)
{
	trial_review(&trial,
		"<unit xmlns='urn:leanrich:unit:1' number='U-1'><basis kind='new'/><solvent amine='MDEA' strength='45 "
		"wt%'/>"
		"<stream id='lean' service='lean' flow='100 t/h' temperature='60 degC' h2s='0.01' co2='0.01'/>"
		"<pump tag='P-1' service='lean' suction='lean' casing='316L' impeller='CF8M' npsh-available='2 m' "
		"npsh-required='3 m'/>"
		"<pump tag='P-2' service='lean' suction='lean' casing='316L' impeller='CF8M' npsh-available='2 m' "
		"npsh-required='3 m'/>"
		"<line tag='L-1' stream='lean' to='P-1' place='pump suction' size='NPS 4' schedule='40' "
		"material='316L'/></unit>");
	const struct open_matters *matters = &trial.review->matters;
	size_t suctions = 0, together = 0;
	for (size_t i = 0; i < matters->count; i++) {
		const struct open_matter *matter = &matters->rows[i];
		suctions += strcmp(matter->cause, "Pump suction") == 0;
		together += names_place(matter, "L-1") && names_place(matter, "P-1") && !names_place(matter, "P-2");
	}
	cr_expect_eq(suctions, 2);
	cr_expect_eq(together, 1);
}

static const char *without(const char *words, const char *start, const char *instead)
{
	struct text text = text_in(&trial.arena);
	for (const char *at = words, *next; *at; at = next) {
		next = strstr(at, start);
		text_add_span(&text, at, next ? (size_t)(next - at) : strlen(at));
		if (!next)
			break;
		text_add(&text, instead);
		next = strchr(strchr(next, '"') + 1, '"') + 1;
	}
	return text.data;
}

/* Nobody can have measured what is not built; what stands was measured, or it is asked for. */
Test(matter, a_design_is_sound_before_anyone_measured_it)
{
	static const char *const kinds[] = {"kind=\"new\"", "kind=\"revamp\""};
	static const enum soundness soundness[] = {SOUND, SOUND_AS_FAR};
	const char *design = file_text(&trial.arena, "designs/saltmarsh-lea.xml");
	design = without(without(design, " hardness-haz=", ""), " hardness-weld=", "");
	for (size_t i = 0; i < COUNT(kinds); i++) {
		trial_review(&trial, without(design, "kind=\"new\"", kinds[i]));
		cr_expect_eq(review_soundness(trial.review), soundness[i], "%s", kinds[i]);
	}
}

Test(matter, what_the_first_page_says_of_a_unit)
{
	static const struct {
		const char *design, *starts;
		enum soundness soundness;
	} rows[] = {
		{"designs/tern-quay.xml", "Not ready: ", NOT_READY},
		{"designs/cobble-hythe-revamp.xml", "Not ready: ", NOT_READY},
		{"designs/saltmarsh-lea.xml", "Sound as described: ", SOUND},
		{"designs/heron-gate.xml", "Not called sound yet: ", SOUND_AS_FAR},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review_file(&trial, rows[i].design);
		cr_expect_eq(review_soundness(trial.review), rows[i].soundness, "%s", rows[i].design);
		const char *sentence = verdict_sentence(&trial.arena, trial.review);
		cr_expect(strncmp(sentence, rows[i].starts, strlen(rows[i].starts)) == 0, "%s: %s", rows[i].design,
			sentence);
	}
}

/* Nothing can be wrong of what says nothing, and little of a lone pump: neither is called sound. */
Test(matter, what_is_hardly_described_is_not_called_sound)
{
	static const char *const bodies[] = {"", "<solvent amine='MDEA' strength='45 wt%'/>",
		"<pump tag='P-1' service='lean' casing='316L' impeller='CF8M'/>"};
	for (size_t i = 0; i < COUNT(bodies); i++) {
		trial_review(&trial,
			arena_format(&trial.arena,
				"<unit xmlns='urn:leanrich:unit:1' number='U-1'><basis kind='new'/>%s</unit>",
				bodies[i]));
		cr_expect_eq(review_soundness(trial.review), SOUND_AS_FAR, "%s", bodies[i]);
	}
}

/* Whatever is to be resolved is named on the first page: among the first, or beneath. */
Test(matter, all_that_is_to_be_resolved_is_on_the_first_page)
{
	trial_review_file(&trial, "designs/tern-quay.xml");
	const struct review *review = trial.review;
	const char *beneath = also_to_resolve(&trial.arena, review, SIZE_MAX - 1);
	for (size_t i = FIRST_MATTERS; i < review->matters.count; i++)
		if (review->matters.rows[i].lead->force == FORCE_REQUIRED)
			for (size_t k = 0; k < review->matters.rows[i].place_count; k++)
				cr_expect_not_null(strstr(beneath, review->matters.rows[i].places[k]->tag), "%s",
					review->matters.rows[i].places[k]->tag);
}

/* ---- what a lead engineer said first, written down before anything was ranked (tests/data/lead_five.csv) ---- */

static bool is_among(const char *words, const char *word)
{
	size_t length = strlen(word);
	for (const char *at = words; (at = strstr(at, word)); at += length)
		if ((at == words || at[-1] == '|') && (at[length] == '|' || !at[length]))
			return true;
	return false;
}

static bool is_on_page(const char *items, const char *matters)
{
	const struct open_matters *all = &trial.review->matters;
	for (size_t i = 0; i < all->count && i < FIRST_MATTERS; i++)
		for (size_t k = 0; k < all->rows[i].count; k++) {
			const struct finding *finding = all->rows[i].findings[k];
			if (is_among(matters, finding->rule->matter) && is_among(items, finding->item->tag))
				return true;
		}
	return false;
}

/* How many of the five of `design` are among the first; the file has no quotes but around the last column. */
static size_t named_first(const char *folder, const char *design)
{
	char line[512];
	size_t named = 0;
	FILE *file = fopen("tests/data/lead_five.csv", "r");
	cr_assert_not_null(file);
	trial_review_file(&trial, arena_format(&trial.arena, "%s/%s.xml", folder, design));
	while (fgets(line, sizeof line, file)) {
		char *cells[4], *rest = line;
		for (size_t i = 0; i < COUNT(cells); i++) {
			cells[i] = rest;
			rest = strchr(rest, ',');
			cr_assert_not_null(rest, "%s", line);
			*rest++ = '\0';
		}
		named += strcmp(cells[0], design) == 0 && is_on_page(cells[2], cells[3]);
	}
	fclose(file);
	return named;
}

/* Three of the revamp: flashing downstream of a valve and loss of wall at a coupon are judged "justify" and stand lower. */
Test(matter, the_first_page_names_what_a_lead_engineer_named)
{
	cr_expect_geq(named_first("designs", "tern-quay"), 4);
	cr_expect_geq(named_first("designs", "cobble-hythe-revamp"), 3);
	cr_expect_geq(named_first("tests/designs", "skerry-nab"), 5);
	cr_expect_geq(named_first("tests/designs", "plover-sand"), 4);
}

/* ---- consequences and denials ---- */

static void reviewed(const char *body)
{
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='U-1'><basis kind='new' barometric-pressure='1.013 "
			"bara'/>"
			"<solvent amine='MEA' strength='15 wt%%'/>%s</unit>",
			body));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static const struct open_matter *matter_with(const char *rule, const char *item)
{
	const struct finding *finding = trial_finding(&trial, rule, item);
	const struct open_matters *matters = &trial.review->matters;
	for (size_t i = 0; finding && i < matters->count; i++)
		if (matter_has(&matters->rows[i], finding))
			return &matters->rows[i];
	return NULL;
}

/* A line as strong as its vessel sees a relief that is set too high; a weaker one would not do with the right setting either. */
Test(matter, what_only_sees_a_relief_set_too_high_is_told_with_it)
{
	static const char unit[] =
		"<vessel tag='V' design-pressure='3.5 barg'><relief-valve tag='PSV' set-pressure='4.2 barg'/></vessel>"
		"<vessel tag='W' design-pressure='9 barg'/>"
		"<line tag='L' from='V' to='W' design-pressure='%s'/>";
	reviewed(arena_format(&trial.arena, unit, "3.5 barg"));
	const struct open_matter *setting = matter_with("RLF-001", "PSV");
	cr_assert_not_null(setting);
	cr_expect_eq(matter_with("ENV-003", "L"), setting);
	cr_expect_str_eq(setting->lead->rule->id, "RLF-001");
	reviewed(arena_format(&trial.arena, unit, "2 barg"));
	cr_assert_not_null(matter_with("ENV-003", "L"));
	cr_expect_neq(matter_with("ENV-003", "L"), matter_with("RLF-001", "PSV"));
}

/* A claim has no row beside that of the finding that contradicts it; one that no finding contradicts has. */
Test(matter, a_claim_is_told_with_what_contradicts_it)
{
	static const char line[] =
		"<stream id='r' service='rich' flow='70 t/h' temperature='95 degC' pressure='5 barg'/>"
		"<line tag='L' stream='r' size='NPS 6' schedule='40' material='carbon steel' pwht='no'/>";
	reviewed(arena_format(&trial.arena, "%s<claim about='L' says='no stress relief needed'/>", line));
	const struct open_matter *relief = matter_with("CRK-001", "L");
	cr_assert_not_null(relief);
	cr_expect_eq(matter_with("CLM-001", "claim"), relief);
	cr_expect_str_eq(relief->lead->rule->id, "CRK-001");
	cr_expect(relief->denied && !names_place(relief, "claim"));
	reviewed(arena_format(&trial.arena, "%s<claim about='L' quantity='design-pressure' at-least='9 barg'/>",
		"<line tag='L' size='NPS 6' schedule='40' material='316L' design-pressure='5 barg'/>"));
	const struct open_matter *claims = matter_with("CLM-001", "claim");
	cr_assert_not_null(claims);
	cr_expect_str_eq(claims->cause, "Claims of the package");
}

/* The gas of one absorber runs back through all pumps in a row. */
Test(matter, reverse_flow_through_two_pumps_is_one_matter)
{
	reviewed("<vessel tag='V' design-pressure='3.5 barg'/><vessel tag='W' design-pressure='70 barg'/>"
		 "<stream id='a' service='lean' from='V' to='P-1'/><stream id='b' service='lean' from='P-1' to='P-2'/>"
		 "<stream id='c' service='lean' from='P-2' to='W'/>"
		 "<pump tag='P-1' service='lean booster' suction='a' discharge='b' check-valves='0'/>"
		 "<pump tag='P-2' service='lean' suction='b' discharge='c' check-valves='0'/>");
	cr_assert_not_null(matter_with("HLP-002", "P-1"));
	cr_expect_eq(matter_with("HLP-002", "P-1"), matter_with("HLP-002", "P-2"));
}
