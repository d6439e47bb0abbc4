#include "write/style.h"

#include <string.h>

#include "base/embedded.h"
#include "base/text.h"

static const char *sheet_called(const char *name)
{
	const struct embedded_file *file = embedded_find(name);
	return file ? (const char *)file->data : "";
}

static const char *page_sheet(void)
{
	return sheet_called("checker/write/review.css");
}

static const char *figure_sheet(void)
{
	return sheet_called("checker/write/figure.css");
}

/* What the last definition of a variable gives it: paper is last in the sheet. */
static const char *meaning(struct arena *arena, const char *variable)
{
	const char *definition = arena_format(arena, "%s:", variable), *last = NULL;
	for (const char *at = page_sheet(); (at = strstr(at, definition)); at++)
		last = at + strlen(definition);
	if (!last)
		return "inherit";
	last += strspn(last, " ");
	return arena_copy_span(arena, last, strcspn(last, ";"));
}

/* "var(--ink)" becomes "#000". */
static const char *resolved(struct arena *arena, const char *css)
{
	static const char before[] = "var(";
	struct text text = text_in(arena);
	for (const char *at = css, *next; *at; at = next) {
		const char *variable = strstr(at, before);
		text_add_span(&text, at, variable ? (size_t)(variable - at) : strlen(at));
		next = variable ? strchr(variable, ')') : NULL;
		if (!next)
			break;
		variable += strlen(before);
		text_add(&text, meaning(arena, arena_copy_span(arena, variable, (size_t)(next - variable))));
		next++;
	}
	return text.data ? text.data : "";
}

const char *style_for_screen(struct arena *arena)
{
	return arena_format(arena, "%s%s", page_sheet(), figure_sheet());
}

const char *style_for_paper(struct arena *arena, const char *sheet)
{
	return arena_format(arena, "%s@page { size: %s; }\n", resolved(arena, page_sheet()), sheet);
}

const char *style_for_figure(struct arena *arena)
{
	return resolved(arena, figure_sheet());
}
