#include "revamp/portfolio.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "base/json_text.h"
#include "base/names.h"
#include "pipeline/stages.h"

/* ---- one design as a line ---- */

static const char *line_of(struct arena *arena, json_t *row)
{
	struct text text = text_in(arena);
	bool whole = json_text(&text, row, JSON_COMPACT);
	json_decref(row);
	return whole ? text.data : NULL;
}

/* Names of files and faults may hold bytes that are no UTF-8; such bytes become question marks. */
static const char *clean(struct arena *arena, const char *text)
{
	json_t *probe = json_string(text);
	char *copy = arena_copy(arena, text);
	if (!probe)
		for (char *c = copy; *c; c++)
			if ((unsigned char)*c >= 0x80)
				*c = '?';
	json_decref(probe);
	return copy;
}

const char *portfolio_failed_line(struct arena *arena, const char *path, const char *fault, bool unreadable)
{
	json_t *row =
		json_pack("{s:i, s:s, s:s}", "portfolio", 1, "file", clean(arena, path), "fault", clean(arena, fault));
	if (unreadable)
		json_object_set_new(row, "unreadable", json_true());
	return line_of(arena, row);
}

static bool is_of_family(const struct rule *rule, const struct family *family)
{
	size_t length = strlen(family->prefix);
	return strncmp(rule->id, family->prefix, length) == 0 && rule->id[length] == '-';
}

static json_t *family_rows(const struct review *review)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < review->catalogue->family_count; i++) {
		const struct family *family = &review->catalogue->families[i];
		json_int_t open = 0;
		for (size_t k = 0; k < review->flag_count; k++)
			if (is_of_family(review->flags[k].rule, family))
				open += (json_int_t)review->flags[k].count;
		json_array_append_new(rows,
			json_pack("{s:s, s:s, s:I}", "prefix", family->prefix, "title", family->title, "open", open));
	}
	return rows;
}

static const char *first_words(struct arena *arena, const struct review *review)
{
	if (review->flag_count)
		return arena_format(arena, "%s: %s [%s]", action_word(review->flags[0].action),
			review->flags[0].findings[0]->message, review->flags[0].rule->id);
	const struct question *question = review->questions.now ? &review->questions.rows[0] : NULL;
	return question ? arena_format(arena, "State: %s %s", question->words, question_items(arena, question, 3)) : "";
}

static const char *reviewed_line(struct arena *arena, const struct review *review, const char *path)
{
	const size_t *counts = review->counts;
	const char *profile = review->catalogue->profile_name;
	return line_of(arena,
		json_pack("{s:i, s:s, s:s, s:s, s:s, s:s, s:i, s:i, s:[iiii], s:o, s:s}", "portfolio", 1, "file",
			clean(arena, path), "number", review->number, "name", review->name, "revision",
			review->revision, "profile", profile ? profile : "", "rules",
			(int)review->catalogue->rule_count, "items", (int)review->item_count, "counts", (int)counts[0],
			(int)counts[1], (int)counts[2], (int)counts[3], "families", family_rows(review), "first",
			first_words(arena, review)));
}

const char *portfolio_line(
	struct arena *arena, const char *path, const struct vocabulary *vocabulary, const struct catalogue *catalogue)
{
	struct arena own = {0};
	struct problems problems = {.arena = &own};
	const char *line = NULL;
	struct resolved_unit read;
	if (stages_read_file(&own, path, vocabulary, catalogue, &problems, &read))
		line = reviewed_line(arena, stages_review(&own, path, &read, catalogue), path);
	problem_sort(&problems);
	if (!line) {
		const char *fault = problems.count ? problem_line(&problems, &problems.rows[0]) : "cannot be reviewed";
		line = portfolio_failed_line(arena, path,
			problems.count > 1 ? arena_format(&own, "%s (and %zu more)", fault, problems.count - 1) : fault,
			problems.count && problems.rows[0].code == PROBLEM_UNREADABLE);
	}
	arena_release(&own);
	return line;
}

/* ---- what has no line ---- */

static const char *text_of(struct arena *arena, const json_t *row, const char *name)
{
	const char *text = json_string_value(json_object_get(row, name));
	return text ? arena_copy(arena, text) : "";
}

/* The file that each line speaks of, by its place among the lines. */
static struct names files_of(struct arena *arena, const char *const *lines, size_t count)
{
	struct names files = {0};
	for (size_t i = 0; i < count; i++) {
		json_t *object = json_loads(lines[i], 0, NULL);
		names_add(arena, &files, text_of(arena, object, "file"), i);
		json_decref(object);
	}
	names_sort(&files);
	return files;
}

size_t portfolio_missing(struct arena *arena, const char *const *lines, size_t count, const char *const *paths,
	size_t path_count, const char **missing)
{
	struct names files = files_of(arena, lines, count);
	size_t found = 0;
	for (size_t i = 0; i < path_count; i++) {
		const char *path = clean(arena, paths[i]);
		if (names_first(&files, path, strlen(path)) == files.count)
			missing[found++] = paths[i];
	}
	return found;
}

void portfolio_check_twice(struct arena *arena, const char *const *lines, const struct place *places, size_t count,
	struct problems *problems)
{
	struct names files = files_of(arena, lines, count);
	for (size_t i = 0; i < files.count; i = names_next(&files, i))
		for (size_t k = i + 1; k < names_next(&files, i); k++) {
			const struct place *first = &places[files.rows[i].at];
			problem_add(problems, PROBLEM_DUPLICATE, places[files.rows[k].at],
				"the record of %s came already at %s:%d; both are shown and counted",
				files.rows[i].name, first->file, first->line);
		}
}

/* ---- lines as a table ---- */

static int number_of(const json_t *row, const char *name)
{
	return (int)json_integer_value(json_object_get(row, name));
}

static struct portfolio_row row_of(struct arena *arena, const json_t *object)
{
	const json_t *families = json_object_get(object, "families"), *counts = json_object_get(object, "counts");
	size_t count = json_array_size(families);
	struct family_count *rows = arena_alloc(arena, (count + 1) * sizeof *rows);
	struct portfolio_row row = {.file = text_of(arena, object, "file"),
		.number = text_of(arena, object, "number"),
		.name = text_of(arena, object, "name"),
		.revision = text_of(arena, object, "revision"),
		.profile = text_of(arena, object, "profile"),
		.first = text_of(arena, object, "first"),
		.rules = number_of(object, "rules"),
		.items = number_of(object, "items"),
		.families = rows,
		.family_count = count};
	if (json_object_get(object, "fault"))
		row.fault = text_of(arena, object, "fault");
	row.unreadable = json_is_true(json_object_get(object, "unreadable"));
	for (size_t i = 0; i < ACTION_KINDS; i++)
		row.counts[i] = (int)json_integer_value(json_array_get(counts, i));
	for (size_t i = 0; i < count; i++) {
		const json_t *family = json_array_get(families, i);
		rows[i] = (struct family_count){.prefix = text_of(arena, family, "prefix"),
			.title = text_of(arena, family, "title"),
			.open = number_of(family, "open")};
	}
	return row;
}

static int ranked_before(const void *left, const void *right)
{
	const struct portfolio_row *a = left, *b = right;
	for (size_t i = 0; i < ACTION_KINDS; i++)
		if (a->counts[i] != b->counts[i])
			return a->counts[i] > b->counts[i] ? -1 : 1;
	int numbers = strcmp(a->number, b->number), files = strcmp(a->file, b->file);
	return files ? files : numbers;
}

static int family_before(const void *left, const void *right)
{
	const struct family_count *a = left, *b = right;
	return strcmp(a->prefix, b->prefix);
}

static void sum_families(struct arena *arena, struct portfolio *portfolio)
{
	size_t capacity = 0;
	struct family_count *sums = arena_grow(arena, NULL, 0, &capacity, sizeof *sums);
	for (size_t i = 0; i < portfolio->count; i++)
		for (size_t k = 0; k < portfolio->rows[i].family_count; k++) {
			const struct family_count *one = &portfolio->rows[i].families[k];
			size_t at = 0;
			while (at < portfolio->family_count && strcmp(sums[at].prefix, one->prefix) != 0)
				at++;
			if (at == portfolio->family_count) {
				sums = arena_grow(arena, sums, at, &capacity, sizeof *sums);
				sums[portfolio->family_count++] =
					(struct family_count){.prefix = one->prefix, .title = one->title};
			}
			sums[at].open += one->open;
		}
	qsort(sums, portfolio->family_count, sizeof *sums, family_before);
	portfolio->families = sums;
}

/* NULL: nothing is wrong. */
static const char *lacking(const json_t *object)
{
	const json_t *counts = json_object_get(object, "counts"), *families = json_object_get(object, "families");
	if (!json_is_integer(json_object_get(object, "portfolio")) || number_of(object, "portfolio") != 1)
		return "it has no \"portfolio\": 1";
	if (!json_is_string(json_object_get(object, "file")))
		return "it names no file";
	if (json_is_string(json_object_get(object, "fault")))
		return NULL;
	bool whole = json_array_size(counts) == ACTION_KINDS && json_is_array(families) &&
		json_is_integer(json_object_get(object, "rules")) && json_is_integer(json_object_get(object, "items"));
	for (size_t i = 0; whole && i < ACTION_KINDS; i++)
		whole = json_is_integer(json_array_get(counts, i));
	for (size_t i = 0; whole && i < json_array_size(families); i++)
		whole = json_is_integer(json_object_get(json_array_get(families, i), "open"));
	return whole ? NULL : "its counts, families, rules or items are not those of a review";
}

bool portfolio_check_line(const char *line, struct place place, struct problems *problems)
{
	json_error_t error = {.column = 1};
	json_t *object = json_loads(line, 0, &error);
	const char *fault = object ? lacking(object) : error.text;
	if (fault) {
		place.column = object || error.column < 1 ? 1 : error.column;
		problem_add(problems, PROBLEM_NOT_A_RECORD, place, "no record of `leanrich portfolio`: %s", fault);
	}
	json_decref(object);
	return !fault;
}

struct portfolio portfolio_of(struct arena *arena, const char *const *lines, size_t count)
{
	struct portfolio portfolio = {.rows = arena_alloc(arena, (count + 1) * sizeof *portfolio.rows),
		.failed = arena_alloc(arena, (count + 1) * sizeof *portfolio.failed)};
	for (size_t i = 0; i < count; i++) {
		json_t *object = json_loads(lines[i], 0, NULL);
		struct portfolio_row row = row_of(arena, object);
		if (row.fault)
			portfolio.failed[portfolio.failed_count++] = row;
		else
			portfolio.rows[portfolio.count++] = row;
		json_decref(object);
	}
	qsort(portfolio.rows, portfolio.count, sizeof *portfolio.rows, ranked_before);
	qsort(portfolio.failed, portfolio.failed_count, sizeof *portfolio.failed, ranked_before);
	for (size_t i = 1; i < portfolio.count; i++)
		portfolio.mixed = portfolio.mixed || portfolio.rows[i].rules != portfolio.rows[0].rules ||
			strcmp(portfolio.rows[i].profile, portfolio.rows[0].profile) != 0;
	struct names files = files_of(arena, lines, count);
	for (size_t i = 1; i < files.count; i++)
		portfolio.twice += strcmp(files.rows[i].name, files.rows[i - 1].name) == 0;
	sum_families(arena, &portfolio);
	return portfolio;
}
