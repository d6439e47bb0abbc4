/* Remedies tried, beside a flag: each change that its remedy names, made by itself, and what it cleared and broke. */
#include "write/write_html.h"

#include "record/trials.h"

static void add_trial(struct page *page, xmlNode *list, const struct finding *finding, const struct remedy_trial *trial)
{
	xmlNode *line = html_add(list, "li", NULL);
	page_tag(page, line, finding->item->tag, SIZE_MAX);
	html_say(line, arena_format(page->arena, ": %s", trial_words(page->arena, trial)));
}

void page_trials(struct page *page, xmlNode *parent, const struct flag *flag)
{
	xmlNode *list = NULL;
	for (size_t i = 0; !page->paper && i < flag->count; i++) {
		size_t at = 0;
		for (const struct remedy_trial *trial;
			(trial = trials_of(&page->review->trials, flag->findings[i], &at)) != NULL;) {
			if (!list) {
				xmlNode *fold = html_add(parent, "details", "fold");
				html_add_text(fold, "summary", NULL, "Remedies tried");
				list = html_add(fold, "ul", NULL);
			}
			add_trial(page, list, flag->findings[i], trial);
		}
	}
}
