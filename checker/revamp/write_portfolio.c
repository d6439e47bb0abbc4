#include <stdlib.h>
#include <string.h>

#include "base/cells.h"
#include "base/count.h"
#include "revamp/portfolio.h"
#include "write/sheet.h"

static int open_in(const struct portfolio_row *row, const char *prefix)
{
	for (size_t i = 0; i < row->family_count; i++)
		if (strcmp(row->families[i].prefix, prefix) == 0)
			return row->families[i].open;
	return 0;
}

/* ---- CSV ---- */

bool write_portfolio_csv(const void *data, FILE *out)
{
	static const char *const head[] = {"Rank", "Unit", "Name", "Revision", "Resolve", "Justify", "Consider",
		"State", "Items", "File", "Fault"};
	enum { HEAD = COUNT(head) };
	const struct portfolio *portfolio = data;
	struct arena arena = {0};
	struct text text = text_in(&arena);
	size_t columns = HEAD + portfolio->family_count;
	const char **cells = arena_alloc(&arena, columns * sizeof *cells);
	cells_begin(&text);
	memcpy(cells, head, sizeof head);
	for (size_t k = 0; k < portfolio->family_count; k++)
		cells[HEAD + k] = portfolio->families[k].prefix;
	cells_row(&text, cells, columns);
	for (size_t i = 0; i < portfolio->count + portfolio->failed_count; i++) {
		bool failed = i >= portfolio->count;
		const struct portfolio_row *row =
			failed ? &portfolio->failed[i - portfolio->count] : &portfolio->rows[i];
		size_t at = 0;
		cells[at++] = failed ? "" : arena_format(&arena, "%zu", i + 1);
		cells[at++] = row->number;
		cells[at++] = row->name;
		cells[at++] = row->revision;
		for (size_t k = 0; k < ACTION_KINDS; k++)
			cells[at++] = failed ? "" : arena_format(&arena, "%d", row->counts[k]);
		cells[at++] = failed ? "" : arena_format(&arena, "%d", row->items);
		cells[at++] = row->file;
		cells[at++] = failed ? row->fault : "";
		for (size_t k = 0; k < portfolio->family_count; k++)
			cells[at++] =
				failed ? "" : arena_format(&arena, "%d", open_in(row, portfolio->families[k].prefix));
		cells_row(&text, cells, columns);
	}
	bool whole = fwrite(text.data, 1, text.length, out) == text.length;
	arena_release(&arena);
	return whole;
}

/* ---- the page ---- */

static void add_ranking(struct page *page, const struct portfolio *portfolio)
{
	static const char *const columns[] = {
		"Unit", "Resolve", "Justify", "Consider", "State", "The first thing to do", "File", NULL};
	xmlNode *section = page_section(page, "ranking", "By what must be done");
	if (portfolio->twice)
		html_add_text(section, "p", NULL,
			arena_format(page->arena,
				"Came twice: %zu of the rows are of a file that another row is of too. All are shown "
				"and "
				"counted.",
				portfolio->twice));
	xmlNode *body = page_rows(section, "ranking", "Most to resolve first", columns);
	for (size_t i = 0; i < portfolio->count; i++) {
		const struct portfolio_row *row = &portfolio->rows[i];
		xmlNode *line = html_add(body, "tr", NULL);
		xmlNode *head = html_add(line, "th", "tag");
		html_set(head, "scope", "row");
		html_name(head, *row->number ? row->number : "no number");
		html_name(html_add(head, "span", "second plain"),
			arena_format(
				page->arena, "%s%s%s", row->name, *row->revision ? ", revision " : "", row->revision));
		for (size_t k = 0; k < ACTION_KINDS; k++)
			html_add_text(line, "td", "figure", arena_format(page->arena, "%d", row->counts[k]));
		html_name(html_add(line, "td", NULL), *row->first ? row->first : "nothing open");
		html_name(html_add(line, "td", "place"), row->file);
	}
}

struct by_family {
	const struct portfolio_row *row;
	int open;
};

static int more_open(const void *left, const void *right)
{
	const struct by_family *a = left, *b = right;
	if (a->open != b->open)
		return a->open > b->open ? -1 : 1;
	return strcmp(a->row->file, b->row->file);
}

static void add_family(
	struct page *page, xmlNode *body, const struct portfolio *portfolio, const struct family_count *sum)
{
	enum { SHOWN = 5 };
	struct by_family *rows = arena_alloc(page->arena, (portfolio->count + 1) * sizeof *rows);
	size_t units = 0;
	for (size_t i = 0; i < portfolio->count; i++) {
		rows[i] = (struct by_family){
			.row = &portfolio->rows[i], .open = open_in(&portfolio->rows[i], sum->prefix)};
		units += rows[i].open > 0;
	}
	qsort(rows, portfolio->count, sizeof *rows, more_open);
	struct text worst = text_in(page->arena);
	for (size_t i = 0; i < units && i < SHOWN; i++)
		text_addf(&worst, "%s%s%s%s: %d", i ? ", " : "",
			*rows[i].row->number ? rows[i].row->number : rows[i].row->file,
			*rows[i].row->revision ? " rev. " : "", rows[i].row->revision, rows[i].open);
	if (units > SHOWN)
		text_addf(&worst, " and %zu more", units - SHOWN);
	xmlNode *line = html_add(body, "tr", NULL), *head = html_add(line, "th", NULL);
	html_set(head, "scope", "row");
	html_add_text(head, "span", "rule", sum->prefix);
	html_say(head, arena_format(page->arena, " %s", sum->title));
	html_add_text(line, "td", "figure", arena_format(page->arena, "%d", sum->open));
	html_add_text(line, "td", "figure", arena_format(page->arena, "%zu", units));
	html_name(html_add(line, "td", NULL), worst.data);
}

static void add_families(struct page *page, const struct portfolio *portfolio)
{
	static const char *const columns[] = {"Family", "Open findings", "Units that have some", "Most open", NULL};
	xmlNode *section = page_section(page, "families", "By family of rules");
	xmlNode *body = page_rows(section, NULL, "Findings to resolve, justify or consider", columns);
	for (size_t k = 0; k < portfolio->family_count; k++)
		if (portfolio->families[k].open)
			add_family(page, body, portfolio, &portfolio->families[k]);
}

static void add_failed(struct page *page, const struct portfolio *portfolio)
{
	static const char *const columns[] = {"File", "Why", NULL};
	if (!portfolio->failed_count)
		return;
	xmlNode *section = page_section(page, "failed", "Not reviewed");
	xmlNode *body = page_rows(section, NULL, "Descriptions that could not be reviewed", columns);
	for (size_t i = 0; i < portfolio->failed_count; i++) {
		const char *cells[] = {portfolio->failed[i].file, portfolio->failed[i].fault};
		sheet_row(body, cells, COUNT(cells));
	}
}

bool write_portfolio_html(const void *data, FILE *out)
{
	const struct portfolio *portfolio = data;
	struct sheet sheet;
	struct arena arena = {0};
	const char *reviewed = arena_format(&arena, "%zu", portfolio->count);
	const char *failed = arena_format(&arena, "%zu", portfolio->failed_count);
	const char *profile = portfolio->mixed ? "several: these rows do not compare"
		: portfolio->count	       ? portfolio->rows[0].profile
					       : "";
	sheet_open(&sheet, "Portfolio of amine units", "Portfolio", arena_format(&arena, "of %s units", reviewed),
		(const struct sheet_fact[]){
			{"Reviewed", reviewed}, {"Not reviewed", failed}, {"Profile", profile}, {NULL, NULL}});
	add_ranking(&sheet.page, portfolio);
	add_families(&sheet.page, portfolio);
	add_failed(&sheet.page, portfolio);
	bool whole = sheet_close(&sheet, out);
	arena_release(&arena);
	return whole;
}

void write_portfolio_text(const struct portfolio *portfolio, const char *page, FILE *out)
{
	enum { SHOWN = 10 };
	fprintf(out, "%zu reviewed, %zu not\n", portfolio->count, portfolio->failed_count);
	if (portfolio->twice)
		fprintf(out, "%zu of them came twice: a file has more than one row\n", portfolio->twice);
	fprintf(out, "\nResolve Justify Consider   State\n");
	for (size_t i = 0; i < portfolio->count && i < SHOWN; i++) {
		const struct portfolio_row *row = &portfolio->rows[i];
		fprintf(out, "%7d %7d %8d %7d  %s %s (%s)\n", row->counts[0], row->counts[1], row->counts[2],
			row->counts[3], row->number, row->name, row->file);
	}
	if (portfolio->count > SHOWN)
		fprintf(out, "and %zu more, listed in the document\n", portfolio->count - SHOWN);
	for (size_t i = 0; i < portfolio->failed_count && i < SHOWN; i++)
		fprintf(out, "not reviewed: %s: %s\n", portfolio->failed[i].file, portfolio->failed[i].fault);
	fprintf(out, "%s\n", page);
}
