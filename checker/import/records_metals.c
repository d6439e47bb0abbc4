#include "import/records.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "import/evidence.h"
#include "import/remarks.h"

const char *record_metal(const struct record *record, const struct field_column *column, const char *text)
{
	struct arena *arena = record_arena(record);
	const struct element *map = column->map;
	for (size_t i = 0; map && i < map->child_count; i++)
		if (words_are_one_of(arena, words_fold(arena, text), element_attribute(map->children[i], "written")))
			return element_attribute(map->children[i], "means");
	return list_cell_meaning(arena, text, "material");
}

/* What words say of a clad wall, beside its two metals. */
struct clad {
	const char *base, *base_text, *clad, *type, *thickness;
};

static const char clad_words[] =
	"clad|cladding|overlay|lined|lining|plattiert|plattierung|plaque|placage|revestido|revestimiento|bekleed|weld "
	"overlay|"
	"auskleidung|weld|wol|o "
	"l|schweissplattiert|schweissplattierung|walzplattiert|explosion|roll|bonded|internally|int|min|"
	"minimum|thk|thick|with|mit|avec|con|met|of|nominal";

static const char *clad_type(struct arena *arena, const char *folded)
{
	static const char *const types[][2] = {
		{"overlay", "overlay|weld overlay|wol|o l|schweissplattiert|schweissplattierung|weld"},
		{"lined", "lined|lining|auskleidung"},
		{"clad",
			"clad|cladding|plattiert|plattierung|walzplattiert|plaque|placage|revestido|revestimiento|"
			"bekleed|roll bonded|explosion"}};
	for (size_t i = 0; i < COUNT(types); i++)
		if (words_within(arena, folded, types[i][1]))
			return types[i][0];
	return NULL;
}

/* "3 mm 316L clad", "316L overlay 3 mm": the metal that is left without the thickness and the words of cladding; NULL: none is. */
static const char *clad_metal(struct arena *arena, const char *written, const char **thickness)
{
	const char *folded = words_fold(arena, written), *previous = NULL;
	struct text left = text_in(arena);
	*thickness = NULL;
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " "), digits = strspn(at, "0123456789");
		const char *word = arena_copy_span(arena, at, length);
		bool bare = digits == length && length <= 2,
		     joined = digits && digits < length && strcmp(word + digits, "mm") == 0;
		at += length;
		if (joined || (strcmp(word, "mm") == 0 && previous)) {
			if (*thickness)
				return NULL;
			*thickness = arena_join(
				arena, joined ? arena_copy_span(arena, word, digits) : previous, " mm", "", "");
			previous = NULL;
			continue;
		}
		if (previous)
			text_addf(&left, "%s%s", left.length ? " " : "", previous);
		previous = bare ? word : NULL;
		if (!bare && !words_are_one_of(arena, word, clad_words))
			text_addf(&left, "%s%s", left.length ? " " : "", word);
	}
	if (previous)
		text_addf(&left, "%s%s", left.length ? " " : "", previous);
	const char *named = left.length ? list_cell_meaning(arena, left.data, "material") : NULL;
	return named || !left.length ? named : list_cell_metal_named(arena, left.data);
}

/* Where the base ends and what clads it begins. */
static bool split_clad(struct record *record, const struct field_column *column, const struct vocabulary_type *type,
	struct clad *found)
{
	static const char *const between[] = {"+", " with ", " w/ ", " mit ", " avec ", " con ", " met ", "/", ",",
		" clad ", " lined ", " plattiert "};
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text;
	bool fraction = strpbrk(text, ".,") && (strstr(text, ".5 mm") || strstr(text, ",5 mm") || strstr(text, ".5mm"));
	for (size_t i = 0; i < COUNT(between) && !fraction; i++) {
		const char *at = strstr(text, between[i]);
		if (!at || at == text)
			continue;
		size_t length = (size_t)(at - text);
		while (length > 1 && text[length - 1] == ' ')
			length--;
		const char *base_text = arena_copy_span(arena, text, length), *rest = at + strlen(between[i]),
			   *base_thickness;
		*found = (struct clad){.base_text = base_text, .base = record_metal(record, column, base_text)};
		found->clad = clad_metal(arena, rest, &found->thickness);
		found->type = clad_type(arena, words_fold(arena, text));
		if (!found->base) /* "SA-516-70 clad, 316L": words of cladding with the base */
			found->base = clad_metal(arena, base_text, &base_thickness);
		bool swapped = found->base && found->clad && !vocabulary_choice(type, found->clad) &&
			vocabulary_choice(type, found->base) && strcmp(between[i], " clad ") == 0;
		if (swapped) { /* "316L clad CS" */
			const char *metal = found->base;
			*found = (struct clad){.base = found->clad, .base_text = rest, .clad = metal, .type = "clad"};
		}
		if (found->base && found->clad && vocabulary_choice(type, found->clad))
			return true;
	}
	return false;
}

static bool is_grade(const char *folded);

/* "CS + 3 mm 316L clad": the metal that carries, and the one that is wetted, with its thickness and how it is joined. */
static bool state_clad(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text;
	bool added = strchr(text, '+') && !strpbrk(text, "/,;"); /* "P265GH + 1.4404" is nothing but clad */
	const struct vocabulary_attribute *cladding = vocabulary_attribute(item->element, "cladding");
	struct clad found;
	if ((!added && !clad_type(arena, words_fold(arena, text))) || !cladding ||
		!split_clad(record, column, cladding->type, &found))
		return false;
	record_state_value(record, column, item, "material", found.base);
	record_state_value(record, column, item, "cladding", found.clad);
	if (found.type)
		record_state_value(record, column, item, "cladding-type", found.type);
	if (found.thickness)
		record_state_value(record, column, item, "cladding-thickness", found.thickness);
	if (is_grade(words_fold(arena, found.base_text)))
		record_state_value(record, column, item, "grade", found.base_text);
	record_interpreted(record, column,
		arena_join(arena, arena_join(arena, found.base, " clad with ", found.clad, ""),
			found.thickness ? ", " : "", found.thickness ? found.thickness : "", ""),
		"two metals in one cell");
	return true;
}

/* "A312 TP316L / 1.4404", "1.4462 (S31803)": one metal by two names. */
static bool state_twice_named(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text, *at = strpbrk(text, "/(=");
	if (!at || at == text || record_cell(record, column)->kind != SHEET_TEXT ||
		record_cell(record, column)->hidden || record_metal(record, column, text))
		return false;
	const char *first_text = arena_copy_span(arena, text, (size_t)(at - text));
	const char *first = record_metal(record, column, first_text), *second = record_metal(record, column, at + 1);
	if (!first || !text_same(first, second) || !record_state_value(record, column, item, "material", first))
		return false;
	if (vocabulary_attribute(item->element, "grade"))
		record_state_value(record, column, item, "grade", text);
	record_interpreted(record, column, first, "one metal by two names");
	return true;
}

/* "SA-516 Gr.70" is a grade of what it is made of. */
static bool is_grade(const char *folded)
{
	static const char *const begins[] = {"sa ", "sa1", "sa2", "sa3", "sa5", "a1", "a2", "a3", "a5", "p2", "p3",
		"1 ", "st", "api", "a 1", "a 2", "a 3", "a 5", "s2", "16mo", "13cr"};
	for (size_t i = 0; i < COUNT(begins); i++)
		if (strncmp(folded, begins[i], strlen(begins[i])) == 0 && strpbrk(folded, "0123456789"))
			return true;
	return false;
}

/* "P265GH, plattiert ab Boden 14": a wall said to be clad, with what and where left to a reader: not bare, whatever it begins with. */
static bool keep_clad(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char said[] = "clad|cladding|overlay|lined|lining|plattiert|plattierung|schweissplattiert|"
				   "auftragschweissung|ausgekleidet|auskleidung|plaque|revestido|bekleed|weld overlay";
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	if (cell->kind != SHEET_TEXT || cell->hidden || !words_within(arena, words_fold(arena, cell->text), said) ||
		!vocabulary_attribute(item->element, "cladding") || record_metal(record, column, cell->text))
		return false;
	size_t parts = record_draft(record)->count;
	record_note(record, item, column, true);
	remark_read(record, column, item);
	record_interpreted(record, column, "a note",
		record_draft(record)->count > parts ? "clad, as the remark was read"
						    : "clad, and with which metal or where is not understood");
	return true;
}

/* "P265GH (1.0425)", "1.4404 plates, PWHT": the metal that the cell begins with; the whole of it is kept as a note. */
static bool state_first_words(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char around[] = "platten|plates|plate|trays|tray|boden|internals|einbauten|casing|body|gehause|"
				     "tubes|rohre|seamless|nahtlos|shell|mantel|welded|geschweisst";
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text, *blank = strchr(text, ' ');
	size_t length = strcspn(text, "(,;");
	if (record_cell(record, column)->kind != SHEET_TEXT || record_cell(record, column)->hidden ||
		record_metal(record, column, text))
		return false;
	if (!text[length] && blank && words_are_one_of(arena, words_fold(arena, blank), around))
		length = (size_t)(blank - text);
	const char *first =
		text[length] && length ? record_metal(record, column, arena_copy_span(arena, text, length)) : NULL;
	if (!first)
		return false;
	struct draft_item *noted = vocabulary_child(item->element, "note") ? item : item->parent ? item->parent : item;
	if (!record_state_value(record, column, item, "material", first))
		return false;
	draft_add_note(record_draft(record), vocabulary_child(noted->element, "note") ? noted : NULL,
		arena_join(arena, column->column->heading, ": ", text, ""), record_source(record));
	record_interpreted(record, column, first, "the metal that it begins with; all of it is kept as a note");
	remark_read(record, column, item);
	return true;
}

/* "IH" under "IH = hot insulation, ET = electric tracing, N = none" of the sheet. */
static bool state_by_legend(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char insulated[] = "insulation|insulated|isolierung|isoliert|calorifuge|calorifugeage|aislamiento|"
					"isolatie|personnel protection|heat conservation",
			  traced[] = "tracing|traced|begleitheizung|tracage|traceado",
			  none[] = "none|no|not insulated|uninsulated|keine|ohne|sans|sin|geen|no insulation";
	struct arena *arena = record_arena(record);
	const char *legend = evidence_legend(arena, record->sheet->sheet, record_cell(record, column)->text);
	const char *folded = legend ? words_fold(arena, legend) : "";
	bool no = words_are_one_of(arena, folded, none), heated = words_within(arena, folded, traced) > 0,
	     yes = !no && words_within(arena, folded, insulated) > 0;
	const char *attribute = yes || no ? "insulated" : "traced", *value = no ? "no" : "yes";
	if (!legend || !(yes || no || heated) || !record_state_value(record, column, item, attribute, value))
		return false;
	if (yes && heated)
		record_state_value(record, column, item, "traced", "yes");
	record_note(record, item, column, true);
	record_interpreted(record, column, arena_join(arena, attribute, " ", value, ""),
		arena_join(arena, "by the legend of the sheet, ", legend, "; kept as a note", ""));
	return true;
}

/* "316L clad 3 mm", "weld overlay 309L": words that are no metal alone are read as a remark, and kept. */
bool record_state_cladding(struct record *record, const struct field_column *column, struct draft_item *item)
{
	const struct sheet_cell *cell = record_cell(record, column);
	struct arena *arena = record_arena(record);
	if (cell->kind != SHEET_TEXT || cell->hidden || !strchr(cell->text, ' ') ||
		list_is_to_follow(arena, cell->text) || list_says_nothing(arena, cell->text) ||
		list_cell_choice(arena, vocabulary_attribute(item->element, "cladding")->type, cell->text) ||
		!vocabulary_child(item->element, "note"))
		return false;
	record_note(record, item, column, true);
	remark_read(record, column, item);
	return true;
}

/* "60 mm", "2 in", "PP": what is said of insulation says that there is some; the words are kept. */
bool record_state_insulation(struct record *record, const struct field_column *column, struct draft_item *item)
{
	const struct sheet_cell *cell = record_cell(record, column);
	const char *folded = words_fold(record_arena(record), cell->text), *last = strrchr(folded, ' ');
	bool thickness = strtod(cell->text, NULL) > 0;
	if (last && last[1 + strspn(last + 1, "0123456789")] == '\0') /* "HC 80": how thick it is */
		folded = arena_copy_span(record_arena(record), folded, (size_t)(last - folded));
	if (!cell->hidden &&
		words_are_one_of(record_arena(record), folded, "none|keine|ohne|aucun|sans|sin|ninguno|geen|nessuno") &&
		record_state_value(record, column, item, "insulated", "no")) {
		record_interpreted(record, column, "no", "no insulation");
		return true;
	}
	if (!cell->hidden && cell->kind == SHEET_TEXT && state_by_legend(record, column, item))
		return true;
	if (cell->hidden || (cell->kind != SHEET_TEXT && cell->kind != SHEET_NUMBER) ||
		(!thickness &&
			!words_are_one_of(record_arena(record), folded,
				"pp|personnel protection|hc|heat conservation|p p|h|ih|ic|hot|c|cold|p|hot "
				"insulation|cold insulation|w|warm|hi|ci|cc|"
				"acoustic|personenschutz|beruhrungsschutz|warmedammung|warme|kalte|chaud|froid|"
				"caliente|frio|protection du personnel")))
		return false;
	if (!record_state_value(record, column, item, "insulated", "yes"))
		return false;
	record_note(record, item, column, true);
	record_interpreted(record, column, "yes", "what it is insulated with; kept as a note");
	return true;
}

/* "Steam", "E": what it is traced with says that it is; the words are kept. */
bool record_state_tracing(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char with[] =
		"steam|st|electric|elec|e|el|eht|vapor|vapeur|stoom|dampf|elektrisch|electrico|electrique|"
		"hot water|glycol|jacketed|steam tracing|electric tracing|lp steam|et|s t|e t|steam traced|elec "
		"traced|electric traced|"
		"ja w|ja d|ja e|j w|j d|j e|yes w|yes s|yes e|y s|y e|da|wasser|ja wasser|ja dampf|ja elektrisch|yes "
		"steam|yes electric|"
		"elektr|elettrica|elettrico|eletrico|elec tracing|el "
		"tracing|heisswasser|dampfbegleitheizung|stoomtracing|traced";
	const struct sheet_cell *cell = record_cell(record, column);
	if (cell->hidden || cell->kind != SHEET_TEXT ||
		!words_are_one_of(record_arena(record), words_fold(record_arena(record), cell->text), with) ||
		!record_state_value(record, column, item, "traced", "yes"))
		return false;
	record_note(record, item, column, true);
	record_interpreted(record, column, "yes", "what it is traced with; kept as a note");
	return true;
}

/* "3 mm CA": the allowance with its unit; NULL: it is none. */
static const char *allowance_in(struct arena *arena, const char *part, const struct vocabulary_attribute *meaning)
{
	static const char words[] =
		"ca|c a|corr allow|corr allowance|corrosion allowance|korrosionszuschlag|kz|corr zuschlag|surepaisseur";
	size_t figures = strspn(part, "0123456789.,/");
	const char *unit = part + figures + strspn(part + figures, " "), *after = unit + strcspn(unit, " ");
	const struct cell_rules rules = {.unit = NULL};
	if (!figures || !*after || !meaning || !words_are_one_of(arena, words_fold(arena, after), words))
		return NULL;
	struct cell_value value =
		list_cell(arena, arena_copy_span(arena, part, (size_t)(after - part)), meaning->type, &rules);
	return value.fate == CELL_TAKEN ? value.value : NULL;
}

/* "CS + 3 mm CA; PWHT": a metal, its allowance and its heat treatment. False: there is more in it, or other. */
static bool state_concept(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char heated[] = "pwht|wbh|full pwht|stress relieved|spannungsarm gegluht|spannungsarmgegluht";
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	const char *metal = NULL, *allowance = NULL, *next;
	bool pwht = false;
	if (cell->kind != SHEET_TEXT || cell->hidden || !strpbrk(cell->text, "+,;\n"))
		return false;
	for (const char *at = cell->text; *at; at = next) {
		size_t length = strcspn(at, "+,;\n");
		next = at + length + strspn(at + length, "+,;\n ");
		while (length && at[length - 1] == ' ')
			length--;
		const char *part = arena_copy_span(arena, at, length), *found;
		if (!metal) {
			metal = record_metal(record, column, part);
			if (!metal)
				return false;
		} else if (!allowance &&
			(found = allowance_in(arena, part, vocabulary_attribute(item->element, "corrosion-allowance"))))
			allowance = found;
		else if (!pwht && vocabulary_attribute(item->element, "pwht") &&
			words_are_one_of(arena, words_fold(arena, part), heated))
			pwht = true;
		else
			return false;
	}
	if (!allowance || !record_state_value(record, column, item, "material", metal))
		return false;
	record_state_value(record, column, item, "corrosion-allowance", allowance);
	if (pwht)
		record_state_value(record, column, item, "pwht", "yes");
	record_interpreted(record, column,
		arena_join(arena, metal, ", corrosion allowance ", allowance, pwht ? ", PWHT" : ""),
		"a metal with its allowance in one cell");
	return true;
}

void record_state_material(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute)
{
	const char *text = record_cell(record, column)->text;
	if (strcmp(attribute, "material") == 0 &&
		(state_concept(record, column, item) || state_clad(record, column, item)))
		return;
	if (strcmp(attribute, "material") == 0 &&
		(keep_clad(record, column, item) || state_twice_named(record, column, item)))
		return;
	if (strcmp(attribute, "material") == 0 && state_first_words(record, column, item))
		return;
	if (record_state(record, column, item, attribute) && strcmp(attribute, "material") == 0 &&
		is_grade(words_fold(record_arena(record), text)) && vocabulary_attribute(item->element, "grade"))
		record_state_value(record, column, item, "grade", text);
}

/* "CS / 12Cr": of the casing and of the impeller. */
void record_state_casing_and_impeller(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text, *slash = strchr(text, '/');
	const char *casing =
		slash ? record_metal(record, column, arena_copy_span(arena, text, (size_t)(slash - text))) : NULL;
	const char *impeller = slash ? record_metal(record, column, slash + 1) : NULL;
	const struct vocabulary_attribute *of_casing = vocabulary_attribute(item->element, "casing"),
					  *of_impeller = vocabulary_attribute(item->element, "impeller");
	casing = slash && !casing && of_casing
		? list_cell_choice(arena, of_casing->type, arena_copy_span(arena, text, (size_t)(slash - text)))
		: casing;
	impeller = slash && !impeller && of_impeller ? list_cell_choice(arena, of_impeller->type, slash + 1) : impeller;
	if (!of_casing || !of_impeller || !casing || !impeller || record_cell(record, column)->hidden) {
		record_note(record, item, column, true);
		return;
	}
	record_state_value(record, column, item, "casing", casing);
	record_state_value(record, column, item, "impeller", impeller);
	record_interpreted(record, column, arena_join(arena, "casing ", casing, ", impeller ", impeller),
		"two metals in one cell");
}
