/* What a heading means where its words alone say less, or another thing: by its unit, by marks. Part of fields.h. */
#include "import/fields_meant.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "quantity/quantity.h"

/* "Des. P int/ext", "(internal / external)": what a pressure acts on, where the cell has the vacuum itself. */
const char *fields_without_faces(struct arena *arena, const char *heading)
{
	static const char *const faces[] = {"(int/ext)", "(int / ext)", "int/ext", "int / ext", "(internal/external)",
		"internal/external", "internal / external", "(int./ext.)", "int./ext.", "innen/aussen",
		"innen/au\u00dfen"};
	char *lower = arena_copy(arena, heading);
	for (char *c = lower; *c; c++)
		*c = *c >= 'A' && *c <= 'Z' ? (char)(*c - 'A' + 'a') : *c;
	for (size_t i = 0; i < COUNT(faces); i++) {
		const char *at = strstr(lower, faces[i]);
		if (at)
			return arena_join(arena, arena_copy_span(arena, heading, (size_t)(at - lower)), " ",
				heading + (at - lower) + strlen(faces[i]), "");
	}
	return heading;
}

bool fields_of_items(enum sheet_lists lists)
{
	return lists == LISTS_EQUIPMENT || lists == LISTS_LINES;
}

static bool is_degrees(const char *unit)
{
	double factor, offset;
	return unit_find(KIND_TEMPERATURE, unit, 101325, &factor, &offset);
}

/* "zul. Temp. TS": beside PS, as pressure equipment is marked, and not the side of the tubes. */
static bool is_allowable_temperature(struct arena *arena, const char *folded, const char *concepts)
{
	static const char allowable[] = "zul|zulassig|zulassige|zulassiger|maximal zulassige|max "
					"zul|allowable|admissible|admisible|ammissibile|toelaatbare";
	const char *last = strrchr(folded, ' ');
	bool marked = words_are_one_of(arena, last ? last + 1 : folded, "ts") || strncmp(folded, "ts ", 3) == 0;
	return marked && text_has_word(concepts, "temperature") && words_within(arena, folded, allowable);
}

/* "Tubes: T in": what flows there, its conditions and its material are those of the tube side; a number of tubes is not. */
static const char *side_of_tubes(struct arena *arena, const char *concepts)
{
	static const char *const of_side[] = {
		"material", "fluid", "temperature", "pressure", "inlet", "outlet", "flow", "design", "service"};
	const char *rest = words_without(arena, concepts, "tubes");
	for (size_t i = 0; rest && i < COUNT(of_side); i++)
		if (text_has_word(concepts, of_side[i]))
			return words_sorted(arena, arena_join(arena, rest, " tube-side", "", ""));
	return concepts;
}

/* "I.D." and "ID, in" are an inside diameter; "ID" alone is what an item is called. */
static bool is_inside_diameter(const char *folded, const char *heading, const char *unit)
{
	return strcmp(folded, "id") == 0 &&
		(strncmp(heading, "I.D", 3) == 0 || (unit && text_has_word("in mm ft m", unit)));
}

/* "Mantelseite / TE": in German the temperature at the entry, "TA" at the exit, "T ein", "T aus". */
static const char *of_end(struct arena *arena, const struct words *words, const char *folded, const char *concepts)
{
	static const char *const ends[][2] = {{"te", "inlet temperature"}, {"ta", "outlet temperature"}};
	const char *last = strrchr(folded, ' ');
	const char *word = last ? last + 1 : folded;
	for (size_t i = 0; i < COUNT(ends); i++) {
		if (strcmp(word, ends[i][0]) != 0)
			continue;
		const char *before = last
			? words_concepts(arena, words, arena_copy_span(arena, folded, (size_t)(last - folded)))
			: "";
		return strchr(before, '?') ? concepts
					   : words_sorted(arena, arena_join(arena, before, " ", ends[i][1], ""));
	}
	return concepts;
}

/* "t nom", "t min": by the small letter, a wall and what is required of it, no temperature and no minutes. */
static const char *of_wall(const char *heading, const char *unit)
{
	static const char *const marks[][2] = {
		{"t min", "required-thickness"}, {"t req", "required-thickness"}, {"t nom", "thickness wall"}};
	if (unit && !text_has_word("min mm in", unit))
		return NULL;
	for (size_t i = 0; i < COUNT(marks); i++) {
		const char *at = strstr(heading, marks[i][0]);
		if (at && (at == heading || strchr(" /,\n", at[-1])))
			return marks[i][1];
	}
	return NULL;
}

/* What a heading of streams or samples means where its words say less: by its unit, or in another language. `folded`: without the unit. */
const char *fields_meant_of_samples(struct arena *arena, enum sheet_lists lists, const char *heading,
	const char *folded, const char *concepts, const struct field *field)
{
	if (lists == LISTS_STREAMS && words_within(arena, words_fold(arena, heading), "amine|amin|mdea|dea|mea") &&
		field->unit && strcmp(field->unit, "mol/mol") == 0) {
		const char *rest = words_without(arena, concepts, "strength");
		concepts = words_sorted(arena, arena_join(arena, rest ? rest : concepts, " loading", "", ""));
	}
	if (lists == LISTS_LABORATORY && strcmp(folded, "mes") == 0 && field->unit)
		concepts = "solids"; /* suspended matter in French, a month in Spanish */
	bool loads = lists == LISTS_LABORATORY && field->unit && strcmp(field->unit, "mol/mol") == 0;
	if (loads && (strcmp(concepts, "h2s") == 0 || strcmp(concepts, "co2") == 0))
		concepts = arena_join(arena, concepts, " loading", "", "");
	return concepts;
}

/* The same of items: by the unit, by letters that are marks in German. */
const char *fields_meant_of_items(struct arena *arena, const struct words *words, enum sheet_lists lists,
	const char *heading, const char *folded, const char *concepts, struct field *field)
{
	bool sampled = lists == LISTS_STREAMS || lists == LISTS_LABORATORY;
	if (sampled && strcmp(concepts, "head") == 0)
		concepts = "loading"; /* "carga" is both */
	if ((strcmp(folded, "ts") == 0 && field->unit && is_degrees(field->unit)) ||
		is_allowable_temperature(arena, folded, concepts))
		concepts = "design temperature";
	const char *wall = fields_of_items(lists) ? of_wall(heading, field->unit) : NULL;
	if (wall) {
		concepts = wall;
		field->unit = text_same(field->unit, "min") ? NULL : field->unit;
	}
	if (field->unit && words_are_one_of(arena, folded, "kz|c2|c 2") && text_has_word("mm in", field->unit))
		concepts = "allowance"; /* in German a mark, too */
	if (lists == LISTS_EQUIPMENT && field->unit && is_degrees(field->unit))
		concepts = of_end(arena, words, folded, concepts);
	if (strcmp(concepts, "cv-selected") == 0 && !field->unit)
		field->unit = strstr(folded, "kv") ? "Kv" : "Cv";
	double factor, offset;
	if (lists == LISTS_EQUIPMENT && field->unit && strcmp(concepts, "fluid") == 0 &&
		unit_find(KIND_VOLUME, field->unit, 101325, &factor, &offset))
		concepts = "volume"; /* "Inhalt m3": how much, and not what */
	if (lists == LISTS_EQUIPMENT && is_inside_diameter(folded, heading, field->unit))
		concepts = "diameter";
	if (lists == LISTS_EQUIPMENT)
		concepts = side_of_tubes(arena, concepts);
	return concepts;
}
