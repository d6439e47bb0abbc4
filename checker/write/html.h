/*
 * A page of HTML5 as a libxml2 tree, so that nothing reaches the file unescaped.
 *
 * Text is of two sorts and the page must be told which: words of the program (html_add_text, html_say), and words
 * taken from a design (html_name), which are isolated so that right-to-left letters in a name turn nothing around them.
 * An invisible character that would turn the direction of what follows is shown as U+FFFD, whoever wrote it.
 * The tree takes its memory as the arena does (main): no node is NULL.
 */
#ifndef LEANRICH_HTML_H
#define LEANRICH_HTML_H

#include <stdbool.h>
#include <stdio.h>
#include <libxml/tree.h>

struct html {
	xmlDoc *tree;
	xmlNode *head, *body;
	size_t longest_word; /* characters between two blanks after which an ellipsis stands for the rest; 0: any */
};

/* An empty page in English; `html` must not move until it is released. */
void html_open(struct html *html);
void html_release(struct html *html);

/* The page in UTF-8. False when the file could not take it. */
bool html_save(const struct html *html, FILE *out);

/* Adds an element at the end of `parent`. `class` NULL: none. */
xmlNode *html_add(xmlNode *parent, const char *name, const char *class);
xmlNode *html_add_text(xmlNode *parent, const char *name, const char *class, const char *text);

void html_say(xmlNode *parent, const char *text);
void html_name(xmlNode *parent, const char *text);
void html_set(xmlNode *node, const char *attribute, const char *value);

#endif
