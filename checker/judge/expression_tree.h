/*
 * The part of XPath 1.0 that nearly every expression of a rule keeps to, parsed once into a tree and evaluated here at a
 * fiftieth of what an XPath object for every operand costs: variables, numbers, words in quotes, and, or, comparisons,
 * arithmetic, not, boolean, true, false, known, contains, starts-with.
 *
 * What it answers is what XPath answers, with numbers as they are compared (expression_number.h). Whatever is beyond it, another function or operands of two types in one
 * comparison, it leaves to libxml2 (expression.c), and it never says that an expression is wrong: that is told when it
 * is compiled.
 */
#ifndef LEANRICH_EXPRESSION_TREE_H
#define LEANRICH_EXPRESSION_TREE_H

#include "base/truth.h"
#include "judge/expression.h"

enum tree_type { TREE_NUMBER, TREE_WORD, TREE_YES_NO };

struct tree_value {
	enum tree_type type;
	bool yes;
	double number;	  /* SI */
	const char *word; /* `length` bytes: a word of the expression ends at its quote */
	size_t length;
};

struct tree_node;

/* Starts with zeros; tree_release frees the nodes. */
struct expression_tree {
	struct tree_node *nodes; /* NULL: it is beyond this part */
	size_t count, capacity;
};

/* The words in it stay where they are in `written`, and the names of variables where they are. */
struct expression_tree tree_parse(const char *written, const struct variable *variables, size_t count);
void tree_release(struct expression_tree *tree);

/* What a variable stands for, and is anything known of it: by its index among the variables that the tree was parsed with. */
struct tree_reader {
	const struct variable *variables; /* with others the tree is beyond this part */
	size_t count;
	struct tree_value (*value)(const void *data, int variable);
	bool (*known)(const void *data, int variable);
	const void *data;
};

/* As a condition; PERHAPS: it is beyond this part. */
enum truth tree_evaluate(const struct expression_tree *tree, const struct tree_reader *reader);

#endif
