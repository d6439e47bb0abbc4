#include "write/figure.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "write/plot.h"

/* The paper of the figure; with all its rows less than a third of a page. */
enum {
	WIDTH = 800,
	LEFT = 190,
	RIGHT = 540,
	TOP = 24,
	ROW = 15,
	FOOT = 30,
	ROWS_MOST = 15,
	TAG_CHARACTERS = 24,
	TOLD_CHARACTERS = 16,
	DOWN = 4
};
static const double least = 0.03, most = 30; /* of what is allowed: what lies outside is drawn at the end */

/* The balance of a node that closes worst, over what is allowed it. */
struct closure {
	const struct finding *finding;
	double share;
	int rank;
};

/* Is it a balance of what streams carry into and out of a piece of equipment or a junction, and known? */
static bool is_closure(const struct finding *finding)
{
	const struct rule *rule = finding->rule;
	static const char nodes[] =
		"absorber treater regenerator flash-drum exchanger cooler condenser reboiler split mix "
		"pump tank stream tube-side shell-side plate-side";
	const struct limit *limit = finding->governing ? finding->governing->limit : NULL;
	const struct quantity *value = finding->value;

	if (rule->judged < 0 || strcmp(rule->inputs[rule->judged].quantity, "density-difference") == 0)
		return false;
	return strcmp(rule->family, "balance") == 0 && item_is_any(finding->item, nodes) && limit && !limit->says &&
		limit->relation == RELATION_AT_MOST && limit->value.si > 0 && value && value->known != UNKNOWN &&
		isfinite(value->si) && (value->kind == KIND_SHARE || value->kind == KIND_TEMPERATURE_DIFFERENCE) &&
		finding->verdict != VERDICT_NOT_APPLICABLE && finding->verdict != VERDICT_NOT_JUDGED;
}

static int by_share(const void *left, const void *right)
{
	const struct closure *a = left, *b = right;

	return (a->share < b->share) - (a->share > b->share);
}

static int by_flow(const void *left, const void *right)
{
	const struct closure *a = left, *b = right;

	if (a->rank != b->rank)
		return a->rank < b->rank ? -1 : 1;
	return a->finding->item->index < b->finding->item->index ? -1
								 : a->finding->item->index > b->finding->item->index;
}

/* One for each node, those that close worst, in the order of flow. */
static size_t collect(struct page *page, struct closure **out)
{
	const struct judgement *judgement = &page->review->judgement;
	struct closure *all = arena_alloc(page->arena, (judgement->count + 1) * sizeof *all);
	size_t count = 0;

	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		size_t at = 0;
		if (!is_closure(finding))
			continue;
		double share = fabs(finding->value->si) / finding->governing->limit->value.si;
		while (at < count && all[at].finding->item != finding->item)
			at++;
		if (at == count || share > all[at].share)
			all[at] = (struct closure){finding, share, flow_rank(page->review->table, finding->item)};
		count += at == count;
	}
	qsort(all, count, sizeof *all, by_share);
	count = count < ROWS_MOST ? count : ROWS_MOST;
	qsort(all, count, sizeof *all, by_flow);
	*out = all;
	return count;
}

/* "22 %, Amine in, amine out; told at lean-hot" */
static const char *words_of(struct page *page, const struct closure *closure)
{
	const struct finding *finding = closure->finding;

	return arena_format(page->arena, "%s: %s%s%s", quantity_show(page->arena, finding->value, NULL),
		finding->rule->id, finding->beneath ? ", told at " : "",
		finding->beneath ? text_cut(page->arena, finding->beneath->item->tag, TOLD_CHARACTERS) : "");
}

static void add_row(const struct plot *plot, const struct closure *closure, double y)
{
	struct page *page = plot->page;
	const struct finding *finding = closure->finding;
	xmlNode *group = html_add(plot->svg, "g", NULL);
	double x = plot_x(plot, log10(fmin(fmax(closure->share, least), most)));

	html_add_text(group, "title", NULL,
		arena_format(
			page->arena, "%s: %s, %s", finding->item->tag, words_of(page, closure), finding->rule->title));
	svg_words(page, group, "tag", 0, y + DOWN, text_cut(page->arena, finding->item->tag, TAG_CHARACTERS));
	svg_line(page, group, "row", plot->left, y, x, y);
	svg_mark(page, group, finding_action(finding->beneath ? finding->beneath : finding), x, y);
	svg_words(page, group, "figure", WIDTH, y + DOWN, words_of(page, closure));
}

static void add_axis(const struct plot *plot)
{
	static const double ticks[] = {0.1, 1, 10};
	struct page *page = plot->page;

	for (size_t i = 0; i < sizeof ticks / sizeof *ticks; i++)
		plot_tick_x(plot, log10(ticks[i]), number_show(page->arena, ticks[i]));
	svg_line(page, plot->svg, "edge", plot_x(plot, 0), plot->top, plot_x(plot, 0), plot->bottom);
	svg_words(page, plot->svg, "unit", plot->left, plot->top - 8, "difference over what is allowed, log scale");
}

void figure_closure(struct page *page, xmlNode *parent)
{
	struct closure *rows;
	size_t count = collect(page, &rows);
	struct text text = text_in(page->arena);

	if (!count) {
		html_add_text(
			parent, "p", NULL, "No balance could be calculated: too few flows and loadings are stated.");
		return;
	}
	for (size_t i = 0; i < count; i++)
		text_addf(&text, "%s, %s. ", rows[i].finding->item->tag, words_of(page, &rows[i]));
	double bottom = TOP + (double)count * ROW;
	const struct svg figure = {.id = "closure",
		.class = "plot",
		.title = "How far the balances of each node close",
		.description = text.data,
		.caption = "For each node the balance that closes worst, in the order of flow: the difference of the "
			   "stated values over the difference allowed; above 1 it does not close. At most fifteen, the "
			   "worst.",
		.width = WIDTH,
		.height = bottom + FOOT};
	struct plot plot = {.page = page,
		.svg = svg_open(page, parent, &figure),
		.left = LEFT,
		.right = RIGHT,
		.top = TOP,
		.bottom = bottom,
		.x0 = log10(least),
		.x1 = log10(most),
		.y1 = 1};
	add_axis(&plot);
	for (size_t i = 0; i < count; i++)
		add_row(&plot, &rows[i], TOP + ((double)i + 0.5) * ROW);
}
