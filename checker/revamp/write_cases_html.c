#include "base/count.h"
#include "revamp/write_cases.h"
#include "write/sheet.h"

static const char *numbered(struct arena *arena, size_t count)
{
	return arena_format(arena, "%zu", count);
}

static void add_summary(struct page *page, const struct cases *cases)
{
	static const char *const columns[] = {
		"Case", "What is changed", "Depart that did not", "No longer", "Off specification", NULL};
	xmlNode *section = page_section(page, "summary", "Which cases turn verdicts");
	xmlNode *body = page_rows(section, NULL, "Cases solved by the program, screening", columns);
	for (size_t i = 0; i < cases->count; i++) {
		const struct solved_case *row = &cases->rows[i];
		const char *why = row->why ? arena_format(page->arena, "not solved: %s", row->why) : row->what;
		const char *cells[] = {row->title, why, numbered(page->arena, cases_departures(row, true)),
			numbered(page->arena, cases_departures(row, false)), numbered(page->arena, row->off_count)};
		if (row->stated || row->why)
			cells[2] = cells[3] = "";
		sheet_row(body, cells, COUNT(cells));
	}
	for (size_t i = 0; i < cases->left_out_count; i++)
		html_add_text(section, "p", "aside", arena_format(page->arena, "Not made: %s.", cases->left_out[i]));
}

static void add_base(struct page *page, const struct cases *cases)
{
	static const char *const equipment[] = {"Equipment", "What it was found to do", NULL};
	static const char *const values[] = {"Item", "Value", "Stated", "Solved", NULL};
	xmlNode *section = page_section(page, "base", "The base, solved beside what is stated");
	html_add_text(section, "p", NULL,
		"What each piece of equipment can do is found from the base case and held in the others. What the "
		"solved "
		"base misses is what the package does not close, or the model does not know; a case takes the change.");
	xmlNode *body = page_rows(section, NULL, "Equipment", equipment);
	for (size_t i = 0; i < cases->circuit.count; i++) {
		const char *cells[] = {
			cases->circuit.units[i].item->tag, cases_equipment(page->arena, &cases->circuit.units[i])};
		if (*cells[1])
			sheet_row(body, cells, COUNT(cells));
	}
	body = page_rows(section, NULL, "Values", values);
	for (size_t i = 0; i < cases->value_count; i++) {
		const struct solved_value *value = &cases->values[i];
		const char *cells[] = {value->of->tag, value->name,
			cases_number(page->arena, value->stated, value->kind),
			cases_number(page->arena, value->base, value->kind)};
		if (cases_is_shown(NULL, value))
			sheet_row(body, cells, COUNT(cells));
	}
	for (size_t i = 0; i < cases->circuit.note_count; i++)
		html_add_text(section, "p", "aside", cases->circuit.notes[i]);
}

static void add_values(struct page *page, xmlNode *section, const struct solved_case *row)
{
	static const char *const made[] = {"Item", "Value", "Base", "In this case", NULL};
	static const char *const stated[] = {"Item", "Value", "Stated in this case", "Solved", NULL};
	xmlNode *body = page_rows(section, NULL, "Values, calculated", row->stated ? stated : made);
	for (size_t i = 0; i < row->value_count; i++) {
		const struct solved_value *value = &row->values[i];
		const char *cells[] = {value->of->tag, value->name,
			cases_number(page->arena, row->stated ? value->asserted : value->stated, value->kind),
			cases_number(page->arena, value->value, value->kind)};
		if (cases_is_shown(row, value))
			sheet_row(body, cells, COUNT(cells));
	}
}

static void add_turn(struct page *page, xmlNode *body, const struct case_turn *turn)
{
	xmlNode *line = html_add(body, "tr", NULL), *head = html_add(line, "th", "tag");
	html_set(head, "scope", "row");
	html_name(head, turn->item);
	xmlNode *rule = html_add(line, "td", NULL);
	html_add_text(rule, "span", "rule", turn->rule->id);
	html_say(rule, arena_format(page->arena, " %s", turn->rule->title));
	html_add_text(line, "td", NULL,
		arena_format(page->arena, "%s to %s", verdict_word(turn->from), verdict_word(turn->to)));
	xmlNode *action = html_add(line, "td", NULL);
	if (turn->to == VERDICT_DEPARTS || turn->to == VERDICT_ACCEPTED)
		page_action(action, turn->action);
	xmlNode *value = html_add(line, "td", NULL);
	if (*turn->before || *turn->after)
		html_say(value,
			arena_format(page->arena, "%s to %s", *turn->before ? turn->before : "not known",
				*turn->after ? turn->after : "not known"));
	if (*turn->moved)
		html_say(value, arena_format(page->arena, "; %s", turn->moved));
	if (*turn->base)
		html_say(value, arena_format(page->arena, "; %s", turn->base));
	html_add_text(line, "td", NULL, turn->limit);
}

static void add_case(struct page *page, const struct solved_case *row)
{
	static const char *const columns[] = {"Item", "Rule", "Verdict", "Action", "Value", "Limit", NULL};
	xmlNode *section = page_section(page, row->id, row->title);
	html_add_text(section, "p", NULL, row->what);
	if (row->why) {
		html_add_text(section, "p", NULL, arena_format(page->arena, "Not solved: %s.", row->why));
		return;
	}
	for (size_t i = 0; i < row->off_count; i++)
		html_add_text(section, "p", NULL, cases_off(page->arena, &row->off[i]));
	if (row->turn_count) {
		xmlNode *body = page_rows(section, NULL, "Verdicts that turn, screening", columns);
		for (size_t i = 0; i < row->turn_count; i++)
			add_turn(page, body, &row->turns[i]);
	} else if (!row->stated) {
		html_add_text(section, "p", NULL, "No verdict turns.");
	}
	add_values(page, section, row);
}

bool write_cases_html(const void *data, FILE *out)
{
	const struct cases_report *report = data;
	const struct cases *cases = report->cases;
	const struct sheet_fact facts[] = {{"Revision", report->unit.revision}, {"Description", report->unit.file},
		{"Base case", cases->base}, {NULL, NULL}};
	struct sheet sheet;
	sheet_open(&sheet, "Solved cases of an amine unit", report->unit.number, report->unit.name, facts);
	if (cases->fault) {
		xmlNode *section = page_section(&sheet.page, "summary", "Which cases turn verdicts");
		html_add_text(section, "p", NULL, arena_format(&sheet.arena, "Nothing is solved: %s.", cases->fault));
		return sheet_close(&sheet, out);
	}
	add_summary(&sheet.page, cases);
	add_base(&sheet.page, cases);
	for (size_t i = 0; i < cases->count; i++)
		add_case(&sheet.page, &cases->rows[i]);
	return sheet_close(&sheet, out);
}
