#include "base/json_text.h"

static int add(const char *piece, size_t length, void *text)
{
	text_add_span(text, piece, length);
	return 0;
}

bool json_text(struct text *text, const json_t *root, size_t flags)
{
	return root && json_dump_callback(root, add, text, flags) == 0;
}
