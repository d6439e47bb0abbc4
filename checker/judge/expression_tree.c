#include "judge/expression_tree.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/count.h"
#include "base/text.h"
#include "judge/expression_number.h"

enum operation {
	NODE_VARIABLE,
	NODE_KNOWN,
	NODE_NUMBER,
	NODE_WORD,
	NODE_TRUE,
	NODE_FALSE,
	NODE_NOT,
	NODE_BOOLEAN,
	NODE_NEGATIVE,
	NODE_OR,
	NODE_AND,
	NODE_EQUAL,
	NODE_UNEQUAL,
	NODE_BELOW,
	NODE_AT_MOST,
	NODE_ABOVE,
	NODE_AT_LEAST,
	NODE_PLUS,
	NODE_MINUS,
	NODE_TIMES,
	NODE_DIVIDED,
	NODE_REMAINDER,
	NODE_CONTAINS,
	NODE_STARTS
};

struct tree_node {
	enum operation operation;
	int left, right; /* nodes; of NODE_VARIABLE and NODE_KNOWN `left` is the variable */
	double number;
	const char *word; /* or the name of the variable */
	size_t length;
};

/* ---- parsing ---- */

struct parser {
	const char *at;
	const struct variable *variables;
	size_t variable_count;
	struct expression_tree tree;
	bool beyond;
};

static int add_node(struct parser *parser, struct tree_node node)
{
	struct expression_tree *tree = &parser->tree;
	if (tree->count == tree->capacity) {
		tree->capacity = tree->capacity ? 2 * tree->capacity : 8;
		tree->nodes = checked_realloc(tree->nodes, tree->capacity * sizeof *tree->nodes);
	}
	tree->nodes[tree->count] = node;
	return (int)tree->count++;
}

static int leave(struct parser *parser)
{
	parser->beyond = true;
	return 0;
}

static bool is_name_part(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '-';
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static void skip_blanks(struct parser *parser)
{
	parser->at += strspn(parser->at, " \t\r\n");
}

static size_t name_length(const char *at)
{
	size_t length = 0;
	while (is_name_part(at[length]))
		length++;
	return length;
}

static bool takes_sign(struct parser *parser, char sign)
{
	skip_blanks(parser);
	bool there = *parser->at == sign;
	parser->at += there;
	return there;
}

static int variable_named(const struct parser *parser, const char *name, size_t length)
{
	for (size_t i = 0; i < parser->variable_count; i++)
		if (strncmp(parser->variables[i].name, name, length) == 0 && !parser->variables[i].name[length])
			return (int)i;
	return -1;
}

/* A name at `at`, of which a dot after it would be a part to XPath. */
static int take_variable(struct parser *parser, enum operation operation)
{
	size_t length = name_length(parser->at);
	int variable = variable_named(parser, parser->at, length);
	parser->at += length;
	if (variable < 0 || *parser->at == '.' || *parser->at == ':')
		return leave(parser);
	const char *kept = parser->variables[variable].name;
	return add_node(parser, (struct tree_node){.operation = operation, .left = variable, .word = kept});
}

static int take_number(struct parser *parser)
{
	double number = expression_number_read(&parser->at);
	if (is_name_part(*parser->at) || *parser->at == '.')
		return leave(parser);
	return add_node(parser, (struct tree_node){.operation = NODE_NUMBER, .number = number});
}

static int take_word(struct parser *parser)
{
	const char *begin = parser->at + 1, *end = strchr(begin, *parser->at);
	if (!end)
		return leave(parser);
	parser->at = end + 1;
	return add_node(
		parser, (struct tree_node){.operation = NODE_WORD, .word = begin, .length = (size_t)(end - begin)});
}

static int take_or(struct parser *parser);

/* known('name') */
static int take_known(struct parser *parser)
{
	skip_blanks(parser);
	char quote = *parser->at++;
	if (quote != '\'' && quote != '"')
		return leave(parser);
	int node = take_variable(parser, NODE_KNOWN);
	if (!parser->beyond && (*parser->at++ != quote || !takes_sign(parser, ')')))
		return leave(parser);
	return node;
}

static const struct named_operation {
	const char *name;
	enum operation operation;
	int arguments;
} functions[] = {{"not", NODE_NOT, 1}, {"boolean", NODE_BOOLEAN, 1}, {"true", NODE_TRUE, 0}, {"false", NODE_FALSE, 0},
	{"contains", NODE_CONTAINS, 2}, {"starts-with", NODE_STARTS, 2}};

static bool is_word_at(const char *at, size_t length, const char *word)
{
	return strncmp(at, word, length) == 0 && !word[length];
}

static int take_arguments(struct parser *parser, const struct named_operation *function)
{
	struct tree_node node = {.operation = function->operation};
	if (function->arguments > 0)
		node.left = take_or(parser);
	if (function->arguments > 1)
		node.right = takes_sign(parser, ',') ? take_or(parser) : leave(parser);
	return takes_sign(parser, ')') ? add_node(parser, node) : leave(parser);
}

static int take_call(struct parser *parser)
{
	const char *name = parser->at;
	size_t length = name_length(name);
	parser->at += length;
	if (!length || !takes_sign(parser, '('))
		return leave(parser);
	if (is_word_at(name, length, "known"))
		return take_known(parser);
	for (size_t i = 0; i < COUNT(functions); i++)
		if (is_word_at(name, length, functions[i].name))
			return take_arguments(parser, &functions[i]);
	return leave(parser);
}

static int take_operand(struct parser *parser)
{
	skip_blanks(parser);
	char c = *parser->at;
	if (c == '$') {
		parser->at++;
		return take_variable(parser, NODE_VARIABLE);
	}
	if (c == '\'' || c == '"')
		return take_word(parser);
	if (is_digit(c) || (c == '.' && is_digit(parser->at[1])))
		return take_number(parser);
	if (c != '(')
		return take_call(parser);
	parser->at++;
	int node = take_or(parser);
	return takes_sign(parser, ')') ? node : leave(parser);
}

static int take_unary(struct parser *parser)
{
	size_t signs = 0;
	while (takes_sign(parser, '-'))
		signs++;
	int node = take_operand(parser);
	for (; signs > 0 && !parser->beyond; signs--)
		node = add_node(parser, (struct tree_node){.operation = NODE_NEGATIVE, .left = node});
	return node;
}

/* Operators by how closely they bind, the loosest first; of one level the longer sign stands first. */
static const struct level {
	struct named_operation operators[4];
} levels[] = {
	{{{"or", NODE_OR, 2}}},
	{{{"and", NODE_AND, 2}}},
	{{{"!=", NODE_UNEQUAL, 2}, {"=", NODE_EQUAL, 2}}},
	{{{"<=", NODE_AT_MOST, 2}, {">=", NODE_AT_LEAST, 2}, {"<", NODE_BELOW, 2}, {">", NODE_ABOVE, 2}}},
	{{{"+", NODE_PLUS, 2}, {"-", NODE_MINUS, 2}}},
	{{{"*", NODE_TIMES, 2}, {"div", NODE_DIVIDED, 2}, {"mod", NODE_REMAINDER, 2}}},
};

/* An operator that is a word ends where the word does. */
static const struct named_operation *take_operator(struct parser *parser, const struct level *level)
{
	skip_blanks(parser);
	size_t word = is_digit(*parser->at) || *parser->at == '-' ? 0 : name_length(parser->at);
	for (size_t i = 0; i < COUNT(level->operators) && level->operators[i].name; i++) {
		const char *name = level->operators[i].name;
		size_t length = strlen(name);
		if (strncmp(parser->at, name, length) != 0 || (word && word != length))
			continue;
		parser->at += length;
		return &level->operators[i];
	}
	return NULL;
}

static int take_level(struct parser *parser, size_t level)
{
	if (level == COUNT(levels))
		return take_unary(parser);
	int node = take_level(parser, level + 1);
	const struct named_operation *operator= parser->beyond ? NULL : take_operator(parser, &levels[level]);
	while (operator) {
		int right = take_level(parser, level + 1);
		node = add_node(
			parser, (struct tree_node){.operation = operator->operation, .left = node, .right = right});
		operator= parser->beyond ? NULL : take_operator(parser, &levels[level]);
	}
	return node;
}

static int take_or(struct parser *parser)
{
	return parser->beyond ? 0 : take_level(parser, 0);
}

struct expression_tree tree_parse(const char *written, const struct variable *variables, size_t count)
{
	struct parser parser = {.at = written, .variables = variables, .variable_count = count};
	take_or(&parser); /* the root is the last node, or the tree is but one */
	skip_blanks(&parser);
	if (parser.beyond || *parser.at)
		tree_release(&parser.tree);
	return parser.tree;
}

void tree_release(struct expression_tree *tree)
{
	free(tree->nodes);
	*tree = (struct expression_tree){.nodes = NULL};
}

/* ---- evaluating ---- */

struct walk {
	const struct tree_node *nodes;
	const struct tree_reader *reader;
	bool beyond;
};

static struct tree_value yes_no(bool yes)
{
	return (struct tree_value){.type = TREE_YES_NO, .yes = yes};
}

static struct tree_value number(double value)
{
	return (struct tree_value){.type = TREE_NUMBER, .number = value};
}

static struct tree_value beyond(struct walk *walk)
{
	walk->beyond = true;
	return yes_no(false);
}

/* Zero is no, so is a word without letters. */
static bool is_true(struct tree_value value)
{
	if (value.type == TREE_NUMBER)
		return value.number < 0 || value.number > 0;
	return value.type == TREE_WORD ? value.length > 0 : value.yes;
}

static bool starts_with(struct tree_value word, struct tree_value part)
{
	return word.length >= part.length && memcmp(word.word, part.word, part.length) == 0;
}

static bool contains(struct tree_value word, struct tree_value part)
{
	bool found = starts_with(word, part);
	for (; !found && word.length > part.length; found = starts_with(word, part)) {
		word.word++;
		word.length--;
	}
	return found;
}

static bool same(struct tree_value a, struct tree_value b)
{
	if (a.type == TREE_NUMBER)
		return !(a.number < b.number) && !(a.number > b.number);
	return a.type == TREE_WORD ? a.length == b.length && starts_with(a, b) : a.yes == b.yes;
}

static struct tree_value of_numbers(struct walk *walk, enum operation operation, double a, double b)
{
	switch (operation) {
	case NODE_BELOW:
		return yes_no(a < b);
	case NODE_AT_MOST:
		return yes_no(a <= b);
	case NODE_ABOVE:
		return yes_no(a > b);
	case NODE_AT_LEAST:
		return yes_no(a >= b);
	case NODE_PLUS:
		return number(a + b);
	case NODE_MINUS:
		return number(a - b);
	case NODE_TIMES:
		return number(a * b);
	case NODE_DIVIDED:
		return number(a / b);
	case NODE_REMAINDER:
		return number(fmod(a, b));
	default:
		return beyond(walk);
	}
}

/* Where the same expression is evaluated for another rule, its variables are others. */
static bool is_of_these(const struct walk *walk, const struct tree_node *node)
{
	const struct tree_reader *reader = walk->reader;
	return (size_t)node->left < reader->count && text_is(reader->variables[node->left].name, node->word);
}

static struct tree_value of_variable(struct walk *walk, const struct tree_node *node)
{
	const struct tree_reader *reader = walk->reader;
	if (!is_of_these(walk, node))
		return beyond(walk);
	return node->operation == NODE_KNOWN ? yes_no(reader->known(reader->data, node->left))
					     : reader->value(reader->data, node->left);
}

static struct tree_value value_of(struct walk *walk, int at);

static struct tree_value of_two(struct walk *walk, const struct tree_node *node)
{
	struct tree_value left = value_of(walk, node->left);
	if (node->operation == NODE_OR && is_true(left))
		return yes_no(true);
	if (node->operation == NODE_AND && !is_true(left))
		return yes_no(false);
	struct tree_value right = value_of(walk, node->right);
	if (node->operation == NODE_OR || node->operation == NODE_AND)
		return yes_no(is_true(right));
	if (left.type != right.type)
		return beyond(walk);
	if (node->operation == NODE_EQUAL || node->operation == NODE_UNEQUAL)
		return yes_no(same(left, right) == (node->operation == NODE_EQUAL));
	if (left.type == TREE_NUMBER)
		return of_numbers(walk, node->operation, left.number, right.number);
	if (left.type == TREE_WORD && node->operation == NODE_CONTAINS)
		return yes_no(contains(left, right));
	if (left.type == TREE_WORD && node->operation == NODE_STARTS)
		return yes_no(starts_with(left, right));
	return beyond(walk);
}

static struct tree_value negative(struct walk *walk, const struct tree_node *node)
{
	struct tree_value value = value_of(walk, node->left);
	return value.type == TREE_NUMBER ? number(-value.number) : beyond(walk);
}

static struct tree_value value_of(struct walk *walk, int at)
{
	const struct tree_node *node = &walk->nodes[at];
	switch (node->operation) {
	case NODE_VARIABLE:
	case NODE_KNOWN:
		return of_variable(walk, node);
	case NODE_NUMBER:
		return number(node->number);
	case NODE_WORD:
		return (struct tree_value){.type = TREE_WORD, .word = node->word, .length = node->length};
	case NODE_TRUE:
	case NODE_FALSE:
		return yes_no(node->operation == NODE_TRUE);
	case NODE_NOT:
	case NODE_BOOLEAN:
		return yes_no(is_true(value_of(walk, node->left)) == (node->operation == NODE_BOOLEAN));
	case NODE_NEGATIVE:
		return negative(walk, node);
	default:
		return of_two(walk, node);
	}
}

enum truth tree_evaluate(const struct expression_tree *tree, const struct tree_reader *reader)
{
	struct walk walk = {.nodes = tree->nodes, .reader = reader};
	bool yes = is_true(value_of(&walk, (int)tree->count - 1));
	return walk.beyond ? PERHAPS : yes ? YES : NO;
}
