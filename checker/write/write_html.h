/*
 * What the parts of the HTML review share: the page being written and the pieces that recur in it.
 *
 * Every part adds its sections at the end of the page, in the order of write_html.c. What is said by the design goes
 * through html_name(), what is said by the program or a rule through html_say().
 */
#ifndef LEANRICH_WRITE_HTML_H
#define LEANRICH_WRITE_HTML_H

#include "record/review.h"
#include "record/round.h"
#include "write/html.h"

struct page {
	const struct review *review;
	struct arena *arena;
	xmlNode *contents; /* a list: each section enters itself */
	xmlNode *main;
	int sections;	 /* so far, of the body or of the appendices */
	bool appendices; /* the sections to come are */
	bool paper;	 /* to be laid out as sheets: no script, and every drawing carries its style */
};

/* The parts, each one or more sections. */
void page_front(struct page *page);
void page_actions(struct page *page);
void page_round(struct page *page);
void page_scope(struct page *page);
void page_weighing(struct page *page);
void page_figures(struct page *page);
void page_flags(struct page *page);
void page_accounts(struct page *page);
void page_sulfide(struct page *page);
void page_questions(struct page *page);
void page_judged_if_stated(struct page *page, xmlNode *section); /* folded, among the questions */
void page_statements(struct page *page);
void page_near(struct page *page);
void page_damage(struct page *page);
void page_mechanisms(struct page *page);
void page_sulfide_details(struct page *page);
void page_claims(struct page *page);
void page_deviations(struct page *page);
void page_reconciliation(struct page *page);
void page_working(struct page *page);
void page_rules(struct page *page);
void page_calibration(struct page *page);
void page_sources(struct page *page);

/* The published limits of a flag's rule, lettered; below a table of items. */
void page_limits(struct page *page, xmlNode *parent, const struct flag *flag);
const char *page_limit_letter(struct page *page, size_t index);

/* The published failures nearest to a flag's findings, folded; nothing on paper, where page_accounts() tells them. */
void page_nearest(struct page *page, xmlNode *parent, const struct flag *flag);

/* The changes that the remedies of a flag's findings name, as they were tried, folded; nothing where they were not, and on paper. */
void page_trials(struct page *page, xmlNode *parent, const struct flag *flag);

/* Is it for any of the items? One that is for none has no column beside them, and stays off paper. */
bool page_limit_applies(const struct flag *flag, size_t index);

/*
 * Parts of the sulfide analysis, in the section begun by page_sulfide: the answers to the over-stripping question, what the package
 * claims on it, the windows of the lean loading, how published measurements disagree, dense share along the lean loading.
 */
void page_overstripping(struct page *page, xmlNode *section);
void page_film_claims(struct page *page, xmlNode *section);
void page_windows(struct page *page, xmlNode *section);
void page_window_details(struct page *page, xmlNode *section);
void page_dispute(struct page *page, xmlNode *section);
void page_loading_sweep(struct page *page, xmlNode *section);
void page_sweep_table(struct page *page, xmlNode *section);

/* The cell that heads a row, of this class or NULL. */
xmlNode *page_row_head(xmlNode *row, const char *class);

/* A cell of plain words; a number for one ("3 digits", or the count of decimals), "-" where there is none. */
void page_cell(xmlNode *row, const char *words);
const char *page_shown(struct page *page, double value, const char *format);

/* The short name of a case for tables, where the scope tells what it is; its title for sentences. */
const char *page_case_name(struct page *page, int operating_case);
const char *page_case_title(struct page *page, int operating_case);

/* The first answer to the over-stripping question, for the first page. */
void page_first_answer(struct page *page, xmlNode *section);

/* The questions that decide most, for the first page. */
void page_first_questions(struct page *page, xmlNode *section);

/* What every page of ours has in its head: nothing is fetched, and no script runs but its own. `date` may be "". */
void page_head(struct page *page, xmlNode *head, const char *title, const char *date, const char *style);

/* A numbered section that is in the contents; `id` is its anchor. */
xmlNode *page_section(struct page *page, const char *id, const char *title);

/*
 * A table with a caption in a region that scrolls by itself on a narrow screen. `columns` ends with NULL. Gives the table,
 * to which bodies (html_add "tbody") are added.
 */
xmlNode *page_table(xmlNode *parent, const char *class, const char *caption, const char *const *columns);

/* The same; gives its one body, to which rows are added. */
xmlNode *page_rows(xmlNode *parent, const char *class, const char *caption, const char *const *columns);

/* "2.10 m/s" and, smaller, "(6.89 ft/s)"; words as they are. */
void page_quantity(struct page *page, xmlNode *parent, const struct quantity *quantity);

/* The first half of that alone: a stated value as it was written, a computed one in the unit its kind shows first. */
const char *page_first(struct page *page, const struct quantity *quantity);

/* The governing limit as published, or in the unit shown first where that lets it be compared. Both must be there. */
const char *page_limit_for(struct page *page, const struct finding *finding);

/* A value in both units, or in the first, where a difference of temperatures is not a temperature. */
const char *page_difference(struct page *page, double si, enum kind kind);
const char *page_uncertainty(struct page *page, const struct quantity *quantity); /* "± 3 K", or "2 kPa to 8 kPa" */
const char *page_difference_first(struct page *page, double si, enum kind kind);

/* "line 41" of the file reviewed, with its path in any other; "" when it is nowhere. */
const char *page_place(struct page *page, struct place place);

/* A tag, cut to so many characters; a short one is never broken over lines. */
void page_tag(struct page *page, xmlNode *parent, const char *tag, size_t most);

/* How an action is called in classes: "resolve"; "met" for none. */
const char *page_action_class(enum action action);

/* The mark and the word of an action. */
void page_action(xmlNode *parent, enum action action);

/* The last cell of a row: the reply and what became of it, or blank for one to be written. */
void page_reply(struct page *page, xmlNode *row, const struct round_row *reply);

/* The tags of the findings' items, the first `most` by name. */
void page_tags(struct page *page, xmlNode *parent, const struct finding *const *findings, size_t count, size_t most);

/* The notes on an item, a paragraph each. */
void page_notes_of(struct page *page, xmlNode *parent, const struct item *item);
bool page_has_notes(const struct page *page, const struct item *item);

/* A source as cited, linked to its row among the sources. */
void page_source(struct page *page, xmlNode *parent, const struct source *source);

/* The row of a source that page_source links to: cited as, title, known through, how known. */
void page_source_row(struct page *page, xmlNode *body, const struct source *source);

#endif
