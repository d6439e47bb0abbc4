/* The HTML review read back: by its tree, never by the words of its style. */
#include <criterion/criterion.h>
#include <ctype.h>
#include <libxml/HTMLparser.h>
#include <libxml/hash.h>
#include <libxml/xpath.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/digest.h"
#include "command/commands.h"
#include "judge/judge.h"
#include "pipeline/compute_unit.h"
#include "read/element.h"
#include "record/review.h"
#include "resolve/resolve.h"
#include "write/write.h"

/* Everything one document needs, alive until release(). */
struct read_back {
	struct arena arena;
	const struct catalogue *catalogue;
	const struct review *review;
	char *bytes;
	size_t size;
	xmlDoc *tree;
	xmlXPathContext *paths;
};

static char *written(const struct review *review, size_t *size)
{
	char *bytes = NULL;
	FILE *out = open_memstream(&bytes, size);
	cr_assert_not_null(out);
	cr_assert(write_html(review, out));
	fclose(out);
	return bytes;
}

static void review_unit(
	struct read_back *reading, const char *file, const struct element *unit, struct problems *problems)
{
	const struct table *resolved = unit ? resolve(&reading->arena, unit, problems) : NULL;
	for (size_t i = 0; i < problems->count; i++)
		cr_log_error("%s", problem_line(problems, &problems->rows[i]));
	cr_assert_not_null(resolved);
	reading->catalogue = load_catalogue(&reading->arena, NULL, NULL, problems);
	cr_assert_not_null(reading->catalogue);
	struct computed_unit computed = compute_unit(&reading->arena, resolved, (struct compute_options){0});
	struct judgement judgement = judge(&reading->arena, reading->catalogue, computed.table, EVERY_CASE);
	reading->review = review_make(&reading->arena, file, computed.table, computed.lean_side, computed.reconciled,
		reading->catalogue, judgement);
	reading->bytes = written(reading->review, &reading->size);
	reading->tree = htmlReadMemory(reading->bytes, (int)reading->size, "review.html", "UTF-8",
		HTML_PARSE_NOERROR | HTML_PARSE_NOWARNING | HTML_PARSE_NONET);
	cr_assert_not_null(reading->tree);
	reading->paths = xmlXPathNewContext(reading->tree);
}

static void read_design(struct read_back *reading, const char *path)
{
	*reading = (struct read_back){0};
	struct problems problems = {.arena = &reading->arena};
	review_unit(reading, path, element_read(&reading->arena, path, unit_vocabulary(&reading->arena), &problems),
		&problems);
}

static void read_text(struct read_back *reading, const char *xml)
{
	*reading = (struct read_back){0};
	struct problems problems = {.arena = &reading->arena};
	const struct vocabulary *vocabulary = unit_vocabulary(&reading->arena);
	review_unit(reading, "unit.xml",
		element_parse(&reading->arena, "unit.xml", xml, strlen(xml), vocabulary, &problems), &problems);
}

static void release(struct read_back *reading)
{
	xmlXPathFreeContext(reading->paths);
	xmlFreeDoc(reading->tree);
	free(reading->bytes);
	catalogue_release(reading->catalogue);
	arena_release(&reading->arena);
}

static xmlXPathObject *found(struct read_back *reading, const char *path)
{
	xmlXPathObject *result = xmlXPathEvalExpression((const xmlChar *)path, reading->paths);
	cr_assert_not_null(result, "%s", path);
	return result;
}

static size_t count_of(struct read_back *reading, const char *path)
{
	xmlXPathObject *result = found(reading, path);
	size_t count = (size_t)xmlXPathNodeSetGetLength(result->nodesetval);
	xmlXPathFreeObject(result);
	return count;
}

static const char *words_at(struct read_back *reading, const char *path)
{
	xmlXPathObject *result = found(reading, path);
	xmlChar *words = xmlXPathCastToString(result);
	const char *copy = arena_copy(&reading->arena, (const char *)words);
	xmlFree(words);
	xmlXPathFreeObject(result);
	return copy;
}

/* ---- a hostile design ---- */

#define HEBREW "\xD7\xA7\xD7\x95"
#define OVERRIDE "\xE2\x80\xAE"
/* What stands for a character that would turn the text around it. */
#define REPLACED "\xEF\xBF\xBD"
#define LONG_64 "4444444444444444444444444444444444444444444444444444444444444444"
#define LONG_512 LONG_64 LONG_64 LONG_64 LONG_64 LONG_64 LONG_64 LONG_64 LONG_64
#define LONG LONG_512 LONG_512 LONG_512

static const char hostile[] =
	"<unit xmlns='urn:leanrich:unit:1' number='&lt;script&gt;alert(1)&lt;/script&gt;' "
	"name='\"&gt;&lt;img src=x onerror=alert(2)&gt; &amp;amp; &lt;/title&gt;&lt;/style&gt;' revision='&lt;b&gt;' "
	"date='2026-01-01'>"
	"<basis kind='new' plant='refinery' barometric-pressure='1.013 bara'>"
	"<code edition='&lt;i&gt;'>&lt;script src=&quot;https://example.invalid/x.js&quot;&gt;&lt;/script&gt;</code>"
	"<case id='normal' title='&lt;u&gt;normal'/></basis>"
	"<solvent amine='DEA' strength='30 wt%'/>"
	"<stream id='rich' service='rich' flow='60 m3/h' temperature='90 degC' pressure='5 barg' h2s='0.3' co2='0.1'/>"
	"<line tag='&lt;script&gt;alert(3)&lt;/script&gt;' stream='rich' size='NPS 3' schedule='40' material='carbon "
	"steel' pwht='no'/>"
	"<line tag='" OVERRIDE HEBREW
	" P-1' stream='rich' size='NPS 3' schedule='40' material='carbon steel' pwht='no'/>"
	"<line tag='" LONG "' stream='rich' size='NPS 3' schedule='40' material='carbon steel' pwht='no'/>"
	"<line tag='javascript:alert(4)' stream='rich' size='NPS 3' schedule='40' material='carbon steel' pwht='no'/>"
	"<deviation rule='VEL-002' item='javascript:alert(4)' because='&lt;svg onload=alert(5)&gt;' approved='x' "
	"until='2030-01-01'/>"
	"</unit>";

Test(write_html, hostile_names_are_text)
{
	struct read_back reading;
	read_text(&reading, hostile);
	cr_expect_eq(count_of(&reading,
			     "//script[position() > 1 or @*] | //img | //iframe | //object | //embed | //link | //form "
			     "| //u | //base"),
		0);
	cr_expect_eq(count_of(&reading, "//@*[starts-with(name(), 'on')]"), 0);
	cr_expect_eq(count_of(&reading, "//style"), 1);
	cr_expect_eq(count_of(&reading, "//script"), 1);
	cr_expect_str_eq(words_at(&reading, "//h1/bdi[1]"), "<script>alert(1)</script>");
	cr_expect_str_eq(words_at(&reading, "//h1/bdi[2]"), "\"><img src=x onerror=alert(2)> &amp; </title></style>");
	cr_expect_eq(count_of(&reading, "//th[contains(@class, 'tag')]/bdi[. = '<script>alert(3)</script>']") > 0, 1);
	cr_expect_eq(count_of(&reading, "//th[contains(@class, 'tag')]/bdi[. = '" REPLACED HEBREW " P-1']") > 0, 1);
	cr_expect_eq(count_of(&reading, "//th[contains(@class, 'tag')]/bdi[. = '" LONG "']") > 0, 1);
	cr_expect_eq(count_of(&reading, "//td/bdi[. = '<svg onload=alert(5)>']"), 1);
	release(&reading);
}

/* Names turn nothing around them and are cut where a page must keep its shape: on the first page and in figures. */
Test(write_html, long_and_turned_names_are_contained)
{
	struct read_back reading;
	read_text(&reading, hostile);
	cr_expect_eq(count_of(&reading,
			     "//*[contains(text(), '" HEBREW "')][not(self::bdi or self::text or self::title or "
			     "self::desc or @dir = 'auto')]"),
		0);
	cr_expect_eq(count_of(&reading, "//section[@id = 'found']//*[string-length(text()) > 400]"), 0);
	cr_expect_null(strstr(reading.bytes, OVERRIDE));
	cr_expect_eq(count_of(&reading, "//svg//text[string-length(.) > 60]"), 0);
	release(&reading);
}

/* ---- the whole document ---- */

static const char demo[] = "designs/tern-quay.xml";

Test(write_html, every_section_is_there_in_order)
{
	static const char *const ids[] = {"found", "actions", "claims", "deviations", "circuit", "state", "damage",
		"sulfide", "scope", "flagged", "accounts", "weighing", "near", "statements", "reconciliation",
		"mechanisms", "sulfide-details", "working", "met", "not-applicable", "calibration", "sources"};
	struct read_back reading;
	read_design(&reading, demo);
	size_t count = COUNT(ids);
	cr_expect_eq(count_of(&reading, "//main/section"), count);
	cr_expect_eq(count_of(&reading, "//nav//a"), count);
	for (size_t i = 0; i < count; i++) {
		char path[64];
		snprintf(path, sizeof path, "string(//main/section[%zu]/@id)", i + 1);
		cr_expect_str_eq(words_at(&reading, path), ids[i]);
	}
	for (size_t i = 0; review_cautions[i]; i++) {
		const char *path = arena_format(
			&reading.arena, "//section[@id = 'scope']//aside//li[. = \"%s\"]", review_cautions[i]);
		cr_expect_eq(count_of(&reading, path), 1, "%s", review_cautions[i]);
	}
	cr_expect_eq(count_of(&reading, "//header//th[. = 'Prepared' or . = 'Checked' or . = 'Approved']"), 3);
	release(&reading);
}

Test(write_html, nothing_is_fetched)
{
	struct read_back reading;
	read_design(&reading, demo);
	cr_expect_eq(count_of(&reading,
			     "//@src | //@srcset | //@poster | //@data | //@action | //link | //script[@*] | //@style"),
		0);
	cr_expect_eq(count_of(&reading, "//@href[not(starts-with(., '#'))]"), 0);
	cr_expect_null(strstr(reading.bytes, "@import"));
	cr_expect_null(strstr(reading.bytes, "url("));
	cr_expect_not_null(
		strstr(words_at(&reading, "string(//meta[@http-equiv = 'Content-Security-Policy']/@content)"),
			"default-src 'none'"));
	cr_expect_str_eq(words_at(&reading, "string(/html/@lang)"), "en");
	release(&reading);
}

/* The policy names the digest of the one script; what is laid out as sheets has none, and its style no variable. */
Test(write_html, one_script_may_run)
{
	struct read_back reading;
	read_design(&reading, demo);
	const char *script = words_at(&reading, "string(//script)");
	const char *allowed = arena_format(
		&reading.arena, "script-src 'sha256-%s'", digest_base64(&reading.arena, script, strlen(script)));
	cr_expect_not_null(strstr(
		words_at(&reading, "string(//meta[@http-equiv = 'Content-Security-Policy']/@content)"), allowed));
	char *bytes = NULL;
	size_t size;
	FILE *out = open_memstream(&bytes, &size);
	cr_assert(write_html_for_paper(reading.review, "letter", out));
	fclose(out);
	cr_expect_null(strstr(bytes, "<script"));
	cr_expect_null(strstr(bytes, "var("));
	cr_expect_not_null(strstr(bytes, "size: letter"));
	free(bytes);
	release(&reading);
}

Test(write_html, anchors_and_labels_lead_somewhere)
{
	struct read_back reading;
	read_design(&reading, demo);
	xmlHashTable *ids = xmlHashCreate(4096);
	xmlXPathObject *named = found(&reading, "//@id");
	for (int i = 0; i < xmlXPathNodeSetGetLength(named->nodesetval); i++) {
		xmlChar *id = xmlNodeGetContent(named->nodesetval->nodeTab[i]);
		cr_expect_eq(xmlHashAddEntry(ids, id, &reading), 0, "%s twice", (char *)id);
		xmlFree(id);
	}
	xmlXPathFreeObject(named);
	xmlXPathObject *links = found(&reading, "//@href | //@aria-labelledby");
	for (int i = 0; i < xmlXPathNodeSetGetLength(links->nodesetval); i++) {
		xmlChar *words = xmlNodeGetContent(links->nodesetval->nodeTab[i]);
		for (char *rest, *word = strtok_r((char *)words, "# ", &rest); word; word = strtok_r(NULL, "# ", &rest))
			cr_expect_not_null(xmlHashLookup(ids, (const xmlChar *)word), "%s", word);
		xmlFree(words);
	}
	xmlXPathFreeObject(links);
	xmlHashFree(ids, NULL);
	cr_expect_eq(count_of(&reading, "//table[not(caption)]"), 0);
	cr_expect_eq(count_of(&reading, "//th[not(@scope)]"), 0);
	cr_expect_eq(count_of(&reading, "//svg[not(title and desc and @aria-labelledby)]"), 0);
	release(&reading);
}

/* Every flagged item with its place, and every published limit of its rule with source and how it is known. */
Test(write_html, every_finding_and_every_limit_is_shown)
{
	struct read_back reading;
	read_design(&reading, demo);
	const struct review *review = reading.review;
	cr_assert(review->flag_count > 0);
	for (size_t i = 0; i < review->flag_count; i++) {
		const struct flag *flag = &review->flags[i];
		const char *article =
			arena_format(&reading.arena, "//article[.//span[@class = 'rule'] = '%s'][@data-action = '%s']",
				flag->rule->id, action_word(flag->action));
		struct arena *arena = &reading.arena;
		cr_expect_eq(count_of(&reading, article), 1, "%s", flag->rule->id);
		cr_expect_eq(count_of(&reading,
				     arena_format(arena, "%s//table[contains(@class, 'limits')]/tbody/tr", article)),
			flag->rule->limit_count, "%s", flag->rule->id);
		for (size_t k = 0; k < flag->count; k++) {
			const struct item *item = flag->findings[k]->item;
			const char *row = arena_format(arena, "%s//th[bdi = '%s'][contains(., 'line %d')]", article,
				item->tag, item->place.line);
			cr_expect_eq(count_of(&reading, row), 1, "%s of %s", flag->rule->id, item->tag);
		}
	}
	cr_expect_eq(count_of(&reading, "//section[@id = 'state']//tbody/tr[not(@class)]"), review->questions.now);
	cr_expect_eq(count_of(&reading, "//table[contains(@class, 'behind')]//tr[@class = 'behind']"),
		review->request_count);
	cr_expect_eq(count_of(&reading, "//section[@id = 'sources']//tbody/tr"), review->source_count);
	cr_expect_eq(count_of(&reading, "//section[@id = 'working']//tbody/tr[not(@class) or @class = 'of-met']") +
			count_of(&reading, "//section[@id = 'working']//span[@class = 'taker']"),
		review->working_count);
	release(&reading);
}

/* What a met rule rests on is beside its items, and the numbers among it have their working; so have those that nobody judges. */
Test(write_html, what_is_met_says_what_it_rests_on)
{
	struct read_back reading;
	read_design(&reading, "designs/saltmarsh-lea.xml");
	cr_expect_eq(
		count_of(&reading, "//section[@id = 'met']//tr[th = 'BAL-004']/td[2][contains(., 'lean duty')]"), 1);
	cr_expect_eq(
		count_of(&reading, "//section[@id = 'met']//tr[th = 'ABS-006']/td[2][contains(., 'trays 22')]"), 1);
	cr_expect_eq(count_of(&reading, "//section[@id = 'met']//tr[td][not(contains(td[2], ': '))]"), 0,
		"every rule met says on what");
	static const char *const names[] = {"acid gas picked up of C-401", "LMTD of E-402", "heat flux of E-402",
		"duty of E-404", "liquid volume of TK-401", "amine flow of lean-cold"};
	for (size_t i = 0; i < COUNT(names); i++)
		cr_expect_geq(count_of(&reading,
				      arena_format(&reading.arena, "//section[@id = 'working']//tr[th/bdi[1] = '%s']",
					      names[i])),
			1, "%s", names[i]);
	release(&reading);
}

Test(write_html, the_same_review_gives_the_same_bytes)
{
	struct read_back reading, again;
	read_design(&reading, demo);
	read_design(&again, demo);
	cr_expect(reading.size == again.size && memcmp(reading.bytes, again.bytes, reading.size) == 0);
	release(&reading);
	release(&again);
}

Test(write_html, a_full_disk_is_noticed)
{
	struct read_back reading;
	read_design(&reading, demo);
	FILE *full = fopen("/dev/full", "w");
	cr_assert_not_null(full);
	cr_expect_not(write_html(reading.review, full));
	fclose(full);
	release(&reading);
}

/* ---- the working, followed from what is printed alone ---- */

/* "4 × 0.0159 m3/s / (π × (0.0972 m)^2)": numbers, units to be passed over, + - × / ^ ln min max |..| and brackets. */
struct sum {
	const char *at;
};

static double sum_of(struct sum *sum);

static bool skip(struct sum *sum, const char *what)
{
	size_t length = strlen(what);
	while (*sum->at == ' ')
		sum->at++;
	if (strncmp(sum->at, what, length) != 0)
		return false;
	sum->at += length;
	return true;
}

/* A unit follows its number after one blank and holds none itself but for "kg/(m s2)" and the like. */
static void skip_unit(struct sum *sum)
{
	if (sum->at[0] != ' ' || !isalpha((unsigned char)sum->at[1]))
		return;
	sum->at++;
	int depth = 0;
	while (*sum->at && (depth > 0 || !strchr(" ),|", *sum->at))) {
		depth += (*sum->at == '(') - (*sum->at == ')');
		sum->at++;
	}
}

static double operand_of(struct sum *sum)
{
	double value;
	if (skip(sum, "ln(")) {
		value = log(sum_of(sum));
		cr_assert(skip(sum, ")"), "%s", sum->at);
	} else if (skip(sum, "min(") || skip(sum, "max(")) {
		bool least = sum->at[-2] == 'n';
		value = sum_of(sum);
		cr_assert(skip(sum, ","), "%s", sum->at);
		double other = sum_of(sum);
		value = least ? fmin(value, other) : fmax(value, other);
		cr_assert(skip(sum, ")"), "%s", sum->at);
	} else if (skip(sum, "|")) {
		value = fabs(sum_of(sum));
		cr_assert(skip(sum, "|"), "%s", sum->at);
	} else if (skip(sum, "(")) {
		value = sum_of(sum);
		cr_assert(skip(sum, ")"), "%s", sum->at);
	} else if (skip(sum, "π")) {
		value = acos(-1);
	} else {
		while (*sum->at == ' ')
			sum->at++;
		char *end;
		value = strtod(sum->at, &end);
		cr_assert(end != sum->at, "no number at '%s'", sum->at);
		sum->at = end;
		skip_unit(sum);
	}
	return skip(sum, "^") ? pow(value, operand_of(sum)) : value;
}

static double product_of(struct sum *sum)
{
	double value = operand_of(sum);
	for (;;)
		if (skip(sum, "×"))
			value *= operand_of(sum);
		else if (skip(sum, "/"))
			value /= operand_of(sum);
		else
			return value;
}

static double sum_of(struct sum *sum)
{
	double value = product_of(sum);
	for (;;)
		if (skip(sum, "+"))
			value += product_of(sum);
		else if (skip(sum, "- "))
			value -= product_of(sum);
		else
			return value;
}

static double largest_in(const char *words)
{
	double largest = 0;
	for (const char *at = words; *at;) {
		char *end = NULL;
		if (isdigit((unsigned char)*at))
			largest = fmax(largest, strtod(at, &end));
		at = end ? end : at + 1;
	}
	return largest;
}

/* Some row called `name` has a result that occurs in `calculation`, digit for digit or, of a row without one, to four. */
static void expect_printed_as_result(struct read_back *reading, const char *calculation, const char *name)
{
	const char *row = arena_format(&reading->arena, "//section[@id = 'working']//tr[th/bdi[1] = '%s']", name);
	cr_expect(count_of(reading, row) > 0, "no working of %s", name);
	const char *exact =
		words_at(reading, arena_format(&reading->arena, "string(%s//span[@class = 'calculation'][2])", row));
	const char *shown = words_at(
		reading, arena_format(&reading->arena, "string(%s//td[contains(@class, 'result')]/span[1])", row));
	double wanted = strtod(*exact ? exact + strlen("= ") : shown, NULL);
	bool found = false;
	for (const char *at = calculation; *at && !found;) {
		char *end;
		double value = strtod(at, &end);
		found = end > at && fabs(value - wanted) <= (*exact ? 1e-9 : 1e-3) * fabs(wanted);
		at = end > at ? end : at + 1;
	}
	cr_expect(found, "%s = %g is not in '%s'", name, wanted, calculation);
}

/* Everything below reads the document that was written and nothing else. */
static void follow_every_working(const char *design, int at_least)
{
	struct read_back reading;
	read_design(&reading, design);
	xmlXPathObject *rows =
		found(&reading, "//section[@id = 'working']//td[count(span[@class = 'calculation']) = 2]");
	int count = xmlXPathNodeSetGetLength(rows->nodesetval);
	cr_expect_geq(count, at_least, "%s: only %d", design, count);
	for (int i = 0; i < count; i++) {
		xmlNode *cell = rows->nodesetval->nodeTab[i];
		xmlChar *calculation = xmlNodeGetContent(xmlFirstElementChild(cell));
		xmlChar *result = xmlNodeGetContent(xmlLastElementChild(cell));
		struct sum sum = {(const char *)calculation};
		double value = sum_of(&sum), printed = strtod((const char *)result + strlen("= "), NULL);
		cr_expect_str_empty(sum.at, "left over of '%s'", (const char *)calculation);
		/* Six digits are printed of each number: two that are subtracted may each be off by half a unit of the last. */
		double lost = strstr((const char *)calculation, " - ")
			? pow(10, floor(log10(largest_in((const char *)calculation))) - 5)
			: 0;
		cr_expect(fabs(value - printed) <= 2e-5 * fabs(printed) + lost, "'%s' gives %g, printed '%s'",
			(const char *)calculation, value, (const char *)result);
		xmlFree(calculation);
		xmlFree(result);
	}
	xmlXPathFreeObject(rows);
	release(&reading);
}

Test(write_html, every_working_can_be_followed)
{
	follow_every_working(demo, 100);
	follow_every_working("designs/cobble-hythe-revamp.xml", 30);
	follow_every_working("designs/curlew-spit.xml", 15);
}

/* From a velocity down: flow by volume, its density, and of that the water, the amine and the gas, each printed as a result. */
Test(write_html, a_velocity_can_be_followed_down_to_what_is_stated)
{
	static const struct {
		const char *of, *inputs[4];
	} steps[] = {
		{"liquid velocity of E-122 tube side", {"volume flow of E-122 tube side", "bore of E-122 tube side"}},
		{"volume flow of E-122 tube side", {"density of rich-hot"}},
		{"density of rich-hot",
			{"absorbed gas, for a kilogram of solution, rich-hot", "density of water, rich-hot",
				"density of the pure amine, rich-hot",
				"volume change on mixing, for a kilogram of solution"}},
	};
	struct read_back reading;
	read_design(&reading, "designs/curlew-spit.xml");
	for (size_t i = 0; i < COUNT(steps); i++) {
		const char *cell = arena_format(&reading.arena,
			"string(//section[@id = 'working']//tr[th/bdi[1] = '%s']//span[@class = 'calculation'][1])",
			steps[i].of);
		const char *calculation = words_at(&reading, cell);
		cr_expect_str_not_empty(calculation, "no working of %s", steps[i].of);
		for (size_t k = 0; k < 4 && steps[i].inputs[k]; k++)
			expect_printed_as_result(&reading, calculation, steps[i].inputs[k]);
	}
	release(&reading);
}

/* The over-stripping question: both sides, what the model gets wrong, what it is calibrated on, each figure with its table. */
Test(write_html, the_sulfide_analysis_shows_both_sides_and_its_limits)
{
	static const char *const there[] = {
		"//section[@id = 'found']//p[contains(., 'cannot protect the cold side here')]",
		"//*[starts-with(@id, 'sulfide')]//h4[. = 'For leaving H2S in']/following-sibling::ul/li[a]",
		"//*[starts-with(@id, 'sulfide')]//h4[. = 'Against']/following-sibling::ul/li[a]",
		"//*[starts-with(@id, 'sulfide')]//p[contains(., 'Known disagreement') and contains(., 'pyrrhotite')]",
		"//*[starts-with(@id, 'sulfide')]//figure//svg[title = 'Phase map with the circuit as a path']",
		"//*[starts-with(@id, 'sulfide')]//table[starts-with(caption, 'Borders of the phase map')]",
		"//*[starts-with(@id, 'sulfide')]//figure//svg[starts-with(title, 'E-302 from its hot end')]",
		"//*[starts-with(@id, 'sulfide')]//table[starts-with(caption, 'E-302, case')]",
		"//*[starts-with(@id, 'sulfide')]//figure//svg[contains(title, 'dense sulfide against')]",
		"//*[starts-with(@id, 'sulfide')]//table[starts-with(caption, 'Fraction of dense sulfide against')]",
		"//section[@id = 'calibration']//p[contains(., 'self-consistency test, not a validation')]",
	};
	struct read_back reading;
	read_design(&reading, demo);
	for (size_t i = 0; i < COUNT(there); i++)
		cr_expect(count_of(&reading, there[i]) > 0, "%s", there[i]);
	cr_expect_eq(count_of(&reading,
			     "//section[@id = 'calibration']//table[starts-with(caption, 'Observations')]//tbody/tr"),
		20, "eighteen fitted, two kept out");
	release(&reading);
}
