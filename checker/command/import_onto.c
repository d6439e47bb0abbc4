#include "command/import_onto.h"

#include <stdio.h>
#include <string.h>

#include "import/merge.h"

static bool write_text(const void *data, FILE *out)
{
	return fputs(data, out) != EOF;
}

/* Is it a description? What it lacks goes to the problems. */
static bool is_sound(struct workspace *workspace, const struct document *document)
{
	return document->tree && document_check(document, workspace->vocabulary, &workspace->problems) &&
		workspace->problems.count == 0;
}

static struct document parse(struct workspace *workspace, const char *name, const char *text)
{
	return document_parse_up_to(
		&workspace->arena, name, text, strlen(text), DOCUMENT_MOST_OF_DRAFT, &workspace->problems);
}

static int write_merged(
	struct workspace *workspace, const struct onto *onto, const struct merged *merged, struct problems *conflicts)
{
	int status = onto->output ? write_whole(&workspace->arena, onto->output, write_text, merged->text)
		: write_text(merged->text, stdout) ? STATUS_FINE
						   : STATUS_IO;
	if (conflicts->count)
		report_problems(conflicts);
	if (!onto->quiet)
		fprintf(stderr, "%zu value%s taken over, %zu added, %zu removed; %zu conflict%s\n", merged->values,
			merged->values == 1 ? "" : "s", merged->added, merged->removed, merged->conflicts,
			merged->conflicts == 1 ? "" : "s");
	return status == STATUS_FINE && merged->conflicts ? STATUS_FINDINGS : status;
}

static int merge(struct workspace *workspace, const struct onto *onto, const struct document *base,
	const struct document *next, const struct document *edited)
{
	struct problems conflicts = {.arena = &workspace->arena}, taken = {.arena = &workspace->arena};
	bool sound = is_sound(workspace, base);
	sound = is_sound(workspace, edited) && sound;
	sound = is_sound(workspace, next) && sound;
	if (!sound)
		return report_problems(&workspace->problems);
	struct merged merged =
		merge_revision(&workspace->arena, workspace->vocabulary, base, next, edited, &conflicts, &taken);
	struct document result = parse(workspace, onto->output ? onto->output : "the merged description", merged.text);
	sound = is_sound(workspace, &result);
	document_release(&result);
	if (!sound)
		return report_problems(&workspace->problems);
	if (!onto->quiet)
		report_problems(&taken);
	return write_merged(workspace, onto, &merged, &conflicts);
}

int import_onto(struct workspace *workspace, const struct onto *onto, const char *name, const char *draft)
{
	struct document base =
		document_read_up_to(&workspace->arena, onto->base, DOCUMENT_MOST_OF_DRAFT, &workspace->problems);
	struct document edited =
		document_read_up_to(&workspace->arena, onto->edited, DOCUMENT_MOST_OF_DRAFT, &workspace->problems);
	struct document next = parse(workspace, name, draft);
	int status = merge(workspace, onto, &base, &next, &edited);
	document_release(&base);
	document_release(&edited);
	document_release(&next);
	return status;
}
