#include "compute/analyses.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/date.h"
#include "compute/loadings.h"

/* A year of fortnights; of more the last are taken. */
enum { ANALYSES_MOST = 26 };

static const double SECONDS_OF_A_MONTH = 365.25 * 86400 / 12;

struct analysis {
	const struct item *item;
	struct date date;
};

struct analyses {
	struct analysis rows[ANALYSES_MOST];
	size_t count;
};

/* In the order of their dates, the latest kept. */
static void add(struct analyses *analyses, struct analysis analysis)
{
	size_t at = analyses->count;
	while (at > 0 && analyses->rows[at - 1].date.middle > analysis.date.middle)
		at--;
	if (analyses->count == ANALYSES_MOST) {
		if (at == 0)
			return;
		memmove(analyses->rows, analyses->rows + 1, (at - 1) * sizeof *analyses->rows);
		analyses->rows[at - 1] = analysis;
		return;
	}
	memmove(analyses->rows + at + 1, analyses->rows + at, (analyses->count - at) * sizeof *analyses->rows);
	analyses->rows[at] = analysis;
	analyses->count++;
}

/* Is the sample one of lean solution: of no stream that is named, or of one that is lean? Iron of the reflux is not the solvent's. */
static bool is_of_lean(const struct scene *scene, const struct item *analysis)
{
	const struct item *sampled = table_follow(scene->table, analysis, scene->operating_case, "stream");
	const char *service = sampled ? scene_word_of(scene, sampled, "service") : NULL;
	return !service || strcmp(service, "lean") == 0;
}

static struct analyses analyses_of(const struct scene *scene, const struct item *solvent)
{
	struct items all = table_of_kind(scene->table, "dated-analysis");
	struct analyses found = {.count = 0};
	const struct item *undated = NULL; /* of several nobody knows which was the last */
	size_t undated_count = 0;
	for (size_t i = 0; i < all.count; i++) {
		struct analysis analysis = {.item = all.rows[i]};
		const char *written = table_word(scene->table, all.rows[i], scene->operating_case, "date");
		if (all.rows[i]->parent != solvent || !is_of_lean(scene, all.rows[i]))
			continue;
		if (written && date_read(written, &analysis.date)) {
			add(&found, analysis);
		} else {
			undated = all.rows[i];
			undated_count++;
		}
	}
	if (!found.count && undated_count == 1)
		found.rows[found.count++].item = undated;
	return found;
}

static size_t anions_in(const struct scene *scene, const struct item *holder)
{
	struct items anions = table_of_kind(scene->table, "anion");
	size_t count = 0;
	for (size_t i = 0; i < anions.count; i++)
		count += anions.rows[i]->parent == holder;
	return count;
}

const struct item *analyses_anions(const struct scene *scene, const struct item *solvent)
{
	if (anions_in(scene, solvent))
		return solvent;
	struct analyses analyses = analyses_of(scene, solvent);
	for (size_t i = analyses.count; i-- > 0;)
		if (anions_in(scene, analyses.rows[i].item))
			return analyses.rows[i].item;
	return solvent;
}

/* ---- the last of them ---- */

static void take_latest(const struct scene *scene, const struct analyses *analyses, const char *name)
{
	bool of_salts = strcmp(name, "salts-basis") == 0 || strcmp(name, "salts-as") == 0;
	bool basis_of_another = of_salts && scene_stated(scene, "salts");
	if (scene_stated(scene, name) || basis_of_another)
		return;
	for (size_t i = analyses->count; i-- > 0;)
		if (scene_get_of(scene, analyses->rows[i].item, name)) {
			scene_take(scene, name, analyses->rows[i].item, name);
			return;
		}
}

/* ---- how it rises ---- */

struct series {
	double months[ANALYSES_MOST], content[ANALYSES_MOST], uncertainty[ANALYSES_MOST];
	struct input inputs[2 * ANALYSES_MOST];
	size_t count;
	enum kind kind;
};

/* Values of one kind; what is stated as a bound tells nothing of a rise. */
static struct series series_of(const struct scene *scene, const struct analyses *analyses, const char *name)
{
	struct series series = {.count = 0};
	for (size_t i = 0; i < analyses->count; i++) {
		const struct analysis *row = &analyses->rows[i];
		const struct quantity *content = scene_get_of(scene, row->item, name);
		double aside;
		if (!is_number(content) || (series.count && content->kind != series.kind))
			continue;
		series.kind = content->kind;
		series.months[series.count] =
			date_apart(&analyses->rows[0].date, &row->date, &aside) / SECONDS_OF_A_MONTH;
		series.content[series.count] = content->si;
		series.uncertainty[series.count] = content->uncertainty;
		series.inputs[2 * series.count] = scene_input_of(scene, row->item, "c", name);
		series.inputs[2 * series.count + 1] = scene_input_of(scene, row->item, "T", "date");
		series.count++;
	}
	return series;
}

static double mean(const double *values, size_t count)
{
	double sum = 0;
	for (size_t i = 0; i < count; i++)
		sum += values[i];
	return sum / (double)count;
}

/* The straight line of least squares through all; its slope is known as well as the analyses let it be. */
static void put_rise(const struct scene *scene, const struct analyses *analyses, const char *name, const char *rise)
{
	const double least_span = 1; /* months: within one the scatter of the laboratory is all there is. A choice */
	struct series series = series_of(scene, analyses, name);
	double spread = 0, joint = 0, error = 0;
	if (series.count < 2 || scene_stated(scene, rise) ||
		series.months[series.count - 1] - series.months[0] < least_span)
		return;
	double middle = mean(series.months, series.count), level = mean(series.content, series.count);
	for (size_t i = 0; i < series.count; i++) {
		double off = series.months[i] - middle;
		spread += off * off;
		joint += off * (series.content[i] - level);
		error += off * off * series.uncertainty[i] * series.uncertainty[i];
	}
	scene_compute(scene, rise, series.kind, joint / spread, sqrt(error) / spread, FORMULA_RISE, series.inputs,
		2 * series.count);
}

static void of_solvent(const struct scene *scene)
{
	static const char *const contents[] = {"strength", "salts", "salts-basis", "salts-as", "chloride", "bicine",
		"iron", "chromium", "nickel", "sodium", "potassium", "solids", "degradation", "oxygen", "ammonia", "ph",
		"amine-loss"};
	static const char *const rising[][2] = {{"iron", "iron-rise"}, {"chromium", "chromium-rise"},
		{"nickel", "nickel-rise"}, {"chloride", "chloride-rise"}, {"salts", "salts-rise"}};
	if (!item_is(scene->item, "solvent"))
		return;
	struct analyses analyses = analyses_of(scene, scene->item);
	for (size_t i = 0; i < COUNT(contents); i++)
		take_latest(scene, &analyses, contents[i]);
	for (size_t i = 0; i < COUNT(rising); i++)
		put_rise(scene, &analyses, rising[i][0], rising[i][1]);
}

static void of_analysis(const struct scene *scene)
{
	if (item_is(scene->item, "dated-analysis"))
		loadings_total(scene);
}

void analyses_compute(struct table *table)
{
	scene_each(table, of_analysis);
	scene_each(table, of_solvent);
}
