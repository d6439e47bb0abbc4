#include "judge/expression_check.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

enum {
	LONGEST = 2000, /* bytes: some ten times a long rule's; also bounds how deep libxml2's parser goes */
	DEEPEST = 100,
	PRODUCTS = 8, /* with the two below and the bounds of kinds.def no product of so many overflows to infinity */
	DIGITS = 15,
	ANY_NUMBER = 1000
};

/* What an operand is. XPath would compare across sorts by converting: a word to NaN, 'no' to true. */
enum value_type { TYPE_ANY, TYPE_NUMBER, TYPE_WORD, TYPE_YES_NO };

/*
 * Core functions that look at values only, with what they make, what they take and how many. `known` is ours. There is no
 * `number`: of a word it makes NaN, which no comparison holds for and every negated one does. Without an argument most
 * would look at the node they are on, and there is none.
 */
static const struct function {
	const char *name;
	enum value_type result, takes;
	int least, most;
} functions[] = {
	{"not", TYPE_YES_NO, TYPE_ANY, 1, 1},
	{"boolean", TYPE_YES_NO, TYPE_ANY, 1, 1},
	{"true", TYPE_YES_NO, TYPE_ANY, 0, 0},
	{"false", TYPE_YES_NO, TYPE_ANY, 0, 0},
	{"known", TYPE_YES_NO, TYPE_WORD, 1, 1},
	{"contains", TYPE_YES_NO, TYPE_ANY, 2, 2},
	{"starts-with", TYPE_YES_NO, TYPE_ANY, 2, 2},
	{"string-length", TYPE_NUMBER, TYPE_ANY, 1, 1},
	{"floor", TYPE_NUMBER, TYPE_NUMBER, 1, 1},
	{"ceiling", TYPE_NUMBER, TYPE_NUMBER, 1, 1},
	{"round", TYPE_NUMBER, TYPE_NUMBER, 1, 1},
	{"string", TYPE_WORD, TYPE_ANY, 1, 1},
	{"concat", TYPE_WORD, TYPE_ANY, 2, ANY_NUMBER},
	{"translate", TYPE_WORD, TYPE_ANY, 3, 3},
	{"normalize-space", TYPE_WORD, TYPE_ANY, 1, 1},
	{"substring", TYPE_WORD, TYPE_ANY, 2, 3},
	{"substring-before", TYPE_WORD, TYPE_ANY, 2, 2},
	{"substring-after", TYPE_WORD, TYPE_ANY, 2, 2},
};
enum { FUNCTIONS = COUNT(functions) };

static const char operators[] = "and or div mod";
static const char into_words[] = "contains starts-with string-length concat translate normalize-space substring "
				 "substring-before substring-after";

/* A parenthesis that is open: of a call, or of a group (NULL). */
struct open {
	const struct function *function;
	int arguments;
	bool compares; /* of what is around it */
};

struct lexer {
	const char *at;
	struct arena *arena;
	const struct variable *variables;
	size_t count;
	uint32_t cites, divides, asks_for;
	bool reads_letters, asks_absence;
	enum value_type last;	/* of the operand just read; TYPE_ANY after an operator */
	enum value_type wanted; /* of the next operand */
	bool compares;		/* since the innermost parenthesis */
	struct open open[DEEPEST];
	size_t depth;
	int products; /* multiplications and divisions */
	const char *fault;
};

static const char *type_word(enum value_type type)
{
	return type == TYPE_NUMBER ? "a number" : type == TYPE_WORD ? "a word" : "a yes or no";
}

static void take_operand(struct lexer *lexer, enum value_type type)
{
	if (lexer->wanted != TYPE_ANY && lexer->wanted != type)
		lexer->fault = arena_format(
			lexer->arena, "%s is used where %s is needed", type_word(type), type_word(lexer->wanted));
	lexer->last = type;
	lexer->wanted = TYPE_ANY;
}

/* Between the operands of arithmetic and of < and > are numbers, of = and != two of one type. */
static void take_operator(struct lexer *lexer, enum value_type type, bool compares)
{
	if (type == TYPE_NUMBER && lexer->last != TYPE_ANY && lexer->last != TYPE_NUMBER)
		lexer->fault =
			arena_format(lexer->arena, "%s is used where a number is needed", type_word(lexer->last));
	lexer->wanted = type;
	lexer->last = TYPE_ANY;
	lexer->compares = lexer->compares || compares;
}

static void open_parenthesis(struct lexer *lexer, const struct function *function)
{
	if (lexer->depth == DEEPEST) {
		lexer->fault = arena_format(lexer->arena, "more than %d parentheses in each other", DEEPEST);
		return;
	}
	lexer->open[lexer->depth++] = (struct open){.function = function, .compares = lexer->compares};
	lexer->compares = false;
	lexer->last = TYPE_ANY;
	if (function)
		lexer->wanted = function->takes;
}

/* The end of one argument of the innermost call. */
static void end_argument(struct lexer *lexer)
{
	struct open *open = lexer->depth ? &lexer->open[lexer->depth - 1] : NULL;
	if (open && lexer->last != TYPE_ANY)
		open->arguments++;
}

static void check_count(struct lexer *lexer, const struct open *open)
{
	const struct function *function = open->function;
	if (open->arguments >= function->least && open->arguments <= function->most)
		return;
	bool open_ended = function->most == ANY_NUMBER;
	const char *range = function->most == function->least ? ""
		: open_ended				      ? " or more"
							      : arena_format(lexer->arena, " to %d", function->most);
	lexer->fault = arena_format(lexer->arena, "%s() takes %d%s argument%s, not %d", function->name, function->least,
		range, function->most == 1 ? "" : "s", open->arguments);
}

static void close_parenthesis(struct lexer *lexer)
{
	if (lexer->depth == 0) {
		lexer->fault = "a parenthesis is closed that was not opened";
		return;
	}
	end_argument(lexer);
	struct open open = lexer->open[--lexer->depth];
	if (open.function) {
		check_count(lexer, &open);
		lexer->last = open.function->result;
	} else if (lexer->compares) {
		lexer->last = TYPE_YES_NO;
	}
	lexer->compares = open.compares;
	lexer->wanted = TYPE_ANY;
}

static bool name_start(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
}

static bool name_part(char c)
{
	return name_start(c) || (c >= '0' && c <= '9') || c == '-';
}

static char *take_name(struct lexer *lexer)
{
	size_t length = 0;
	while (name_part(lexer->at[length]))
		length++;
	char *name = arena_copy_span(lexer->arena, lexer->at, length);
	lexer->at += length;
	return name;
}

int variable_index(const struct variable *variables, size_t count, const char *name)
{
	for (size_t i = 0; i < count; i++)
		if (text_is(variables[i].name, name))
			return (int)i;
	return -1;
}

static const char *no_variable(struct lexer *lexer, const char *name)
{
	const char **names = arena_alloc(lexer->arena, lexer->count * sizeof *names);
	for (size_t i = 0; i < lexer->count; i++)
		names[i] = lexer->variables[i].name;
	const char *nearest = text_nearest(name, names, lexer->count);
	return arena_format(lexer->arena, "$%s is no input or constant of this rule%s%s%s", name,
		nearest ? "; did you mean $" : "", nearest ? nearest : "", nearest ? "?" : "");
}

static enum value_type type_of(enum kind kind)
{
	return kind == KIND_YES_NO ? TYPE_YES_NO : kind_is_number(kind) ? TYPE_NUMBER : TYPE_WORD;
}

static void take_variable(struct lexer *lexer)
{
	lexer->at++;
	char *name = take_name(lexer);
	int index = variable_index(lexer->variables, lexer->count, name);
	if (index < 0)
		lexer->fault = no_variable(lexer, name);
	else if (*lexer->at == '.') /* XPath takes it as part of the name */
		lexer->fault = arena_format(lexer->arena, "$%s is followed by a point: names have none", name);
	else
		lexer->cites |= (uint32_t)1 << index;
	if (index >= 0)
		take_operand(lexer, type_of(lexer->variables[index].kind));
}

static const char *after_blanks(const char *at)
{
	return at + strspn(at, " \t\r\n");
}

/* known(...) asks by name, in quotes: a misspelt one would always be unknown. */
static void check_known(struct lexer *lexer, const char *argument)
{
	const char *end = strchr("'\"", *argument) && *argument ? strchr(argument + 1, *argument) : NULL;
	if (!end || *after_blanks(end + 1) != ')') {
		lexer->fault = "known() takes one name in quotes";
		return;
	}
	const char *name = arena_copy_span(lexer->arena, argument + 1, (size_t)(end - argument - 1));
	int index = variable_index(lexer->variables, lexer->count, name);
	if (index < 0)
		lexer->fault = no_variable(lexer, name);
	else
		lexer->asks_for |= UINT32_C(1) << index;
	for (size_t i = 0; i < lexer->depth; i++)
		if (lexer->open[i].function && strcmp(lexer->open[i].function->name, "not") == 0)
			lexer->asks_absence = true;
}

static const struct function *find_function(const char *name)
{
	for (size_t i = 0; i < FUNCTIONS; i++)
		if (strcmp(functions[i].name, name) == 0)
			return &functions[i];
	return NULL;
}

static const char *function_names(struct arena *arena)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < FUNCTIONS; i++)
		text_addf(&text, "%s%s", i ? " " : "", functions[i].name);
	return text.data;
}

static void take_call(struct lexer *lexer, const struct function *function)
{
	lexer->at = after_blanks(lexer->at) + 1;
	take_operand(lexer, function->result);
	open_parenthesis(lexer, function);
	lexer->reads_letters = lexer->reads_letters || text_has_word(into_words, function->name);
	if (!lexer->fault && strcmp(function->name, "known") == 0)
		check_known(lexer, after_blanks(lexer->at));
}

/* What overflows is infinite, and infinity less infinity is no number: comparisons would hide it. */
static void count_product(struct lexer *lexer)
{
	if (++lexer->products > PRODUCTS)
		lexer->fault = arena_format(lexer->arena, "more than %d multiplications and divisions", PRODUCTS);
}

/* 0 div 0 is NaN: a divisor is one variable or number, so that a zero is seen before it divides. */
static void check_divisor(struct lexer *lexer)
{
	const char *divisor = after_blanks(lexer->at);
	if (*divisor == '$') {
		struct lexer ahead = *lexer;
		ahead.at = divisor + 1;
		int index = variable_index(lexer->variables, lexer->count, take_name(&ahead));
		if (index >= 0)
			lexer->divides |= (uint32_t)1 << index;
	} else if (!(strtod(divisor, NULL) > 0)) {
		lexer->fault = "div and mod take one variable or one number above zero after them";
	}
}

/* A word is an operator, and an asterisk multiplies, only after an operand: elsewhere they mean elements. */
static void take_word(struct lexer *lexer)
{
	char *word = take_name(lexer);
	const char *next = after_blanks(lexer->at);
	const struct function *function = *next == '(' ? find_function(word) : NULL;
	if (function) {
		take_call(lexer, function);
		return;
	}
	if (text_has_word(operators, word) && lexer->last != TYPE_ANY) {
		bool divides = strcmp(word, "div") == 0 || strcmp(word, "mod") == 0;
		take_operator(lexer, divides ? TYPE_NUMBER : TYPE_ANY, !divides);
		if (divides)
			check_divisor(lexer);
		if (divides && !lexer->fault)
			count_product(lexer);
		return;
	}
	lexer->fault = arena_format(lexer->arena,
		"'%s': only variables ($name), text in quotes, numbers and the functions %s are allowed here; an "
		"expression has no document to look at",
		word, function_names(lexer->arena));
}

static void take_string(struct lexer *lexer)
{
	const char *end = strchr(lexer->at + 1, *lexer->at);
	if (!end) {
		lexer->fault = "a quote is not closed";
		return;
	}
	lexer->at = end + 1;
	take_operand(lexer, TYPE_WORD);
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static void take_number(struct lexer *lexer)
{
	int digits = 0;
	for (; is_digit(*lexer->at) || *lexer->at == '.'; lexer->at++)
		digits += is_digit(*lexer->at);
	take_operand(lexer, TYPE_NUMBER);
	if (digits > DIGITS)
		lexer->fault = arena_format(lexer->arena, "a number has at most %d digits", DIGITS);
}

static void take_comparison(struct lexer *lexer)
{
	bool order = *lexer->at == '<' || *lexer->at == '>';
	lexer->at += lexer->at[0] != '=' && lexer->at[1] == '=' ? 2 : 1;
	take_operator(lexer, order ? TYPE_NUMBER : lexer->last, true);
}

static void next_argument(struct lexer *lexer)
{
	const struct function *function = lexer->depth ? lexer->open[lexer->depth - 1].function : NULL;
	if (!function || lexer->last == TYPE_ANY) {
		lexer->fault = function ? "a value is missing before a comma" : "a comma is outside a function";
		return;
	}
	end_argument(lexer);
	take_operator(lexer, TYPE_ANY, false);
	lexer->wanted = function->takes;
}

static void take_sign(struct lexer *lexer)
{
	char c = *lexer->at++;
	if (c == '(')
		open_parenthesis(lexer, NULL);
	else if (c == ')')
		close_parenthesis(lexer);
	else if (c == ',')
		next_argument(lexer);
	else
		take_operator(lexer, TYPE_NUMBER, false);
	if (c == '*' && !lexer->fault)
		count_product(lexer);
}

/* The checks libxml2 cannot make: what is cited, that nothing but values is looked at, and that sorts agree. */
static void lex(struct lexer *lexer)
{
	while (*lexer->at && !lexer->fault) {
		char c = *lexer->at;
		if (strchr(" \t\r\n", c))
			lexer->at++;
		else if (c == '$')
			take_variable(lexer);
		else if (c == '\'' || c == '"')
			take_string(lexer);
		else if (name_start(c))
			take_word(lexer);
		else if (is_digit(c) || (c == '.' && is_digit(lexer->at[1]))) /* a lone dot is the context node */
			take_number(lexer);
		else if (strchr("<>=!", c))
			take_comparison(lexer);
		else if (strchr("()+-,", c) || (c == '*' && lexer->last != TYPE_ANY))
			take_sign(lexer);
		else
			lexer->fault = arena_format(
				lexer->arena, "'%c' is not allowed in an expression: paths are refused", c);
	}
	if (!lexer->fault && (lexer->depth > 0 || lexer->last == TYPE_ANY))
		lexer->fault = lexer->depth > 0 ? "a parenthesis is not closed" : "it ends where a value is needed";
}

const char *expression_fault(struct arena *arena, const char *written, const struct variable *variables, size_t count,
	struct expression *out)
{
	struct lexer lexer = {.at = written, .arena = arena, .variables = variables, .count = count};
	if (strlen(written) > LONGEST)
		lexer.fault = arena_format(arena, "an expression is at most %d characters long", LONGEST);
	else
		lex(&lexer);
	out->cites = lexer.cites;
	out->divides = lexer.divides;
	out->reads_letters = lexer.reads_letters;
	out->asks_for = lexer.asks_absence ? 0 : lexer.asks_for;
	return lexer.fault;
}
