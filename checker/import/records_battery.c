#include "import/records.h"

#include <string.h>

#include "base/count.h"
#include "import/draft_ends.h"

/* Ends of lines beyond the unit: a description calls them battery limits. */

/* Words that only stand for such a place, wherever they stand in the text. */
static const char beyond[] =
	"bl|b l|battery limit|battery limits|isbl|osbl|anlagengrenze|limite de bateria|limite de batterie|limite d "
	"unite|"
	"limite bateria|lb|ag|grenze|plot limit|unit "
	"limit|flare|fackel|torche|antorcha|fakkel|atm|atmosphere|atmosphare|"
	"sewer|abwasser|kanal|header|headers|hdr|main|mains|manifold|pipeline|grid|network|netz|sammler|ringleitung|"
	"sammelleitung|brenngasnetz|heizgasnetz|dampfnetz|collecteur|reseau|colector|"
	"sru|srus|claus|tgtu|sulfur plant|sulphur plant|sulfur recovery|sulphur recovery|schwefelanlage|"
	"schwefelgewinnung|schwefelgewinnungsanlage|unite soufre|incinerator|thermal oxidizer|thermal "
	"oxidiser|oxidizer|"
	"oxidiser|nachverbrennung|verbrennung|incinerateur|incinerador|boiler house|kesselhaus|"
	"pipe rack|piperack|rohrbrucke|off plot|offplot|export|sales gas|safe location";

/* The names of process units, where they are the whole text: "HDS", "FCC unit". */
static const char process_units[] =
	"hds|hdt|hcu|dht|nht|dhds|fcc|fccu|cdu|vdu|ccr|sws|psa|dehydration|glycol unit|teg unit|molsieve "
	"unit|lng|cracker|"
	"hydrotreater|hydrocracker|coker|reformer|slug catcher|slugcatcher|gathering|sour water stripper|stripping "
	"unit|"
	"utilities|offsites|tank farm|tanklager|raffinerie|refinery|refinery fuel gas|fuel gas|heizgas|brenngas|"
	"incineration|dehydration unit|wells|wellheads|plant air|compression|gas export|sales|condensate return|"
	"cooling water return|cooling water supply|cws|cwr";

/* What German writes in one word with it. */
static const char *const endings[] = {"netz", "system", "sammler", "anlage", "sammelleitung", "systeem"};

static bool ends_with(const char *folded, const char *ending)
{
	size_t length = strlen(folded), last = strlen(ending);
	return length >= last && strcmp(folded + length - last, ending) == 0;
}

/* "Dehydration unit 56", "Anlage 310", "U-300": another unit by its number, which no tag of this one has. */
static bool is_other_unit(const struct record *record, const char *folded)
{
	static const char units[] = "unit|units|u|anlage|unite|unidad|plant|train";
	struct arena *arena = record_arena(record);
	const struct draft *draft = record_draft(record);
	const char *last = strrchr(folded, ' '), *number = last ? last + 1 : folded;
	if (!last || !*number || strspn(number, "0123456789") != strlen(number))
		return false;
	const char *first = arena_copy_span(arena, folded, (size_t)(last - folded)), *word = strrchr(first, ' ');
	if (!words_are_one_of(arena, word ? word + 1 : first, units))
		return false;
	for (size_t i = 0; i < draft->count; i++) {
		const char *key = draft->items[i]->key, *at = key ? strpbrk(key, "0123456789") : NULL;
		bool own = at && !draft->items[i]->parent && text_same(draft->items[i]->key_attribute, "tag") &&
			strncmp(at, number, strlen(number)) == 0;
		if (own && strcmp(draft->items[i]->element->name, "battery-limit") != 0)
			return false;
	}
	return strcmp(first, "train") != 0;
}

static bool is_beyond(const struct record *record, const char *text, bool *plainly)
{
	struct arena *arena = record_arena(record);
	const char *folded = words_fold(arena, text);
	*plainly = words_within(arena, folded, "bl|b l|battery limit|battery limits|isbl|osbl|anlagengrenze|lb|ag") > 0;
	if (words_within(arena, folded, beyond) || words_are_one_of(arena, folded, process_units) ||
		is_other_unit(record, folded))
		return true;
	size_t length = strlen(folded);
	if (length > strlen(" unit") && ends_with(folded, " unit") &&
		words_are_one_of(arena, arena_copy_span(arena, folded, length - strlen(" unit")), process_units))
		return true;
	for (size_t i = 0; i < COUNT(endings); i++)
		if (ends_with(folded, endings[i]) && !strpbrk(folded, "0123456789"))
			return true;
	return false;
}

void record_find_limit(struct record *record, const struct field_column *column, const char *text)
{
	struct draft *draft = record_draft(record);
	bool plainly,
		there = draft_find(draft, text) || draft_end_mentions(draft, text) || draft_end_named(draft, text);
	if (there || record_cell(record, column)->hidden || !is_beyond(record, text, &plainly))
		return;
	draft_item(draft, NULL, "battery-limit", "tag", text, text);
	if (!plainly)
		record_interpreted(record, column, "a battery limit", "what it names lies beyond the unit");
}
