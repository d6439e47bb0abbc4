#include "mutation.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "pipeline/stages.h"
#include "record/review.h"

/* ---- the places of a description, found in its text so that a fault has a line and a column ---- */

struct spot {
	size_t from, to;	 /* of an element or of an attribute, in bytes */
	size_t value, value_end; /* of an attribute, within the quotes */
	int line, column;
	const char *element, *name;
};

struct spots {
	struct spot *rows;
	size_t count, capacity;
};

struct work {
	struct arena arena; /* as long as the design */
	const char *path;
	char *text;
	size_t size;
	struct spots elements, attributes;
	const struct vocabulary *vocabulary;
	const struct catalogue *catalogue;
	struct mutation_counts *counts;
	FILE *out;
	const struct judgement *sound;
	const struct element *unit;
	unsigned char *reads;	 /* attribute x finding: the finding rests on it */
	unsigned char *may_fail; /* finding: some value of the attribute in hand makes it depart */
};

static struct spot *add_spot(struct work *work, struct spots *spots, struct spot spot)
{
	spots->rows = arena_grow(&work->arena, spots->rows, spots->count, &spots->capacity, sizeof *spots->rows);
	spot.line = 1;
	spot.column = 1;
	for (size_t i = 0; i < spot.from; i++) {
		bool end = work->text[i] == '\n';
		spot.line += end;
		spot.column = end ? 1 : spot.column + (((unsigned char)work->text[i] & 0xC0) != 0x80);
	}
	spots->rows[spots->count] = spot;
	return &spots->rows[spots->count++];
}

static size_t name_length(const char *at)
{
	return strcspn(at, " \t\r\n=/>");
}

/* A start tag from its '<': the element and its attributes. Returns the offset after it. */
static size_t find_attributes(struct work *work, size_t at, const char *element, bool *closed)
{
	const char *text = work->text;
	at += 1 + name_length(text + at + 1);
	for (;;) {
		at += strspn(text + at, " \t\r\n");
		*closed = text[at] == '/';
		if (text[at] == '/' || text[at] == '>')
			return at + 1 + *closed;
		struct spot spot = {.from = at, .element = element};
		size_t length = name_length(text + at);
		spot.name = arena_copy_span(&work->arena, text + at, length);
		at += length + strcspn(text + at + length, "\"'");
		spot.value = at + 1;
		spot.value_end = spot.value + strcspn(text + spot.value, (char[]){text[at], '\0'});
		spot.to = at = spot.value_end + 1;
		if (strcmp(spot.name, "xmlns") != 0)
			add_spot(work, &work->attributes, spot);
	}
}

static void find_spots(struct work *work)
{
	size_t open[64] = {0}, depth = 0;
	for (size_t at = 0; at < work->size;) {
		const char *here = work->text + at;
		if (strncmp(here, "<!--", 4) == 0) {
			at = (size_t)(strstr(here, "-->") - work->text) + 3;
		} else if (strncmp(here, "<?", 2) == 0) {
			at = (size_t)(strstr(here, "?>") - work->text) + 2;
		} else if (depth && strncmp(here, "</", 2) == 0) {
			at += strcspn(here, ">") + 1;
			work->elements.rows[open[--depth]].to = at;
		} else if (*here == '<') {
			bool closed;
			const char *name = arena_copy_span(&work->arena, here + 1, name_length(here + 1));
			size_t index = work->elements.count;
			add_spot(work, &work->elements, (struct spot){.from = at, .element = name, .name = ""});
			at = find_attributes(work, at, name, &closed);
			work->elements.rows[index].to = at;
			if (!closed)
				open[depth++] = index;
		} else {
			at++;
		}
	}
}

/* ---- what a finding rests on ---- */

static void mark_reads(struct work *work, size_t finding, const struct quantity *quantity, const struct quantity **seen,
	size_t *seen_count, size_t most)
{
	if (!quantity || *seen_count == most)
		return;
	for (size_t i = 0; i < *seen_count; i++)
		if (seen[i] == quantity)
			return;
	seen[(*seen_count)++] = quantity;
	if (quantity->known == STATED)
		for (size_t a = 0; a < work->attributes.count; a++)
			if (work->attributes.rows[a].line == quantity->place.line &&
				work->attributes.rows[a].column == quantity->place.column)
				work->reads[a * work->sound->count + finding] = 1;
	for (size_t i = 0; i < quantity->input_count; i++)
		mark_reads(work, finding, quantity->inputs[i].quantity, seen, seen_count, most);
}

static void find_reads(struct work *work)
{
	enum { MOST = 4096 };
	const struct quantity **seen = arena_alloc(&work->arena, MOST * sizeof *seen);
	work->reads = arena_alloc(&work->arena, work->attributes.count * work->sound->count + 1);
	work->may_fail = arena_alloc(&work->arena, work->sound->count + 1);
	for (size_t f = 0; f < work->sound->count; f++) {
		size_t seen_count = 0;
		for (size_t i = 0; i < work->sound->findings[f].input_count; i++)
			mark_reads(work, f, work->sound->findings[f].inputs[i].quantity, seen, &seen_count, MOST);
	}
}

/* ---- one mutation ---- */

struct result {
	struct arena arena;
	struct problems problems;
	struct assessed assessed;
};

static void fault(struct work *work, const struct spot *spot, const char *mutation, const char *what)
{
	work->counts->faults++;
	fprintf(work->out, "FAULT %s:%d:%d %s %s, %s: %s\n", work->path, spot->line, spot->column, spot->element,
		spot->name, mutation, what);
}

static void review_text(struct work *work, const char *text, size_t size, struct result *result)
{
	*result = (struct result){.assessed = {.table = NULL}};
	result->problems.arena = &result->arena;
	const struct element *unit =
		element_parse(&result->arena, work->path, text, size, work->vocabulary, &result->problems);
	if (unit && !result->problems.count)
		result->assessed = stages_judge(&result->arena, unit, work->catalogue, &result->problems);
	if (result->problems.count)
		result->assessed.table = NULL;
}

static const struct finding *same_finding(const struct result *result, const struct finding *wanted)
{
	for (size_t i = 0; result->assessed.table && i < result->assessed.judgement.count; i++) {
		const struct finding *finding = &result->assessed.judgement.findings[i];
		if (finding->rule == wanted->rule && strcmp(finding->item->tag, wanted->item->tag) == 0)
			return finding;
	}
	return NULL;
}

static enum verdict verdict_of(const struct finding *finding)
{
	return finding ? finding->verdict : VERDICT_NOT_APPLICABLE;
}

static const char *const words[MUTATION_KINDS] = {"element removed", "attribute removed", "0", "-1", "1e30", "NaN",
	"INF", "unknown unit", "unit of another kind", "empty", "long text", "long number", "half", "twice",
	"another word", "no such word", "another reference"};

static const struct vocabulary_type *type_of(const struct work *work, const struct spot *spot)
{
	for (size_t i = 0; i < work->vocabulary->element_count; i++) {
		const struct vocabulary_element *element = work->vocabulary->elements[i];
		const struct vocabulary_attribute *attribute =
			strcmp(element->name, spot->element) == 0 ? vocabulary_attribute(element, spot->name) : NULL;
		if (attribute)
			return attribute->type;
	}
	return NULL;
}

/* Numbers that are none may not come out of anything. */
static void check_finite(
	struct work *work, const struct spot *spot, enum mutation mutation, const struct result *result)
{
	for (size_t i = 0; i < result->assessed.judgement.count; i++) {
		const struct finding *finding = &result->assessed.judgement.findings[i];
		for (size_t k = 0; k < finding->input_count; k++) {
			const struct quantity *value = finding->inputs[k].quantity;
			if (value && value->known != UNKNOWN && kind_is_number(value->kind) &&
				(!isfinite(value->si) || !isfinite(value->uncertainty)))
				fault(work, spot, words[mutation],
					arena_format(&work->arena, "%s on %s has a number that is none: %s",
						finding->rule->id, finding->item->tag,
						finding_input(finding, k).symbol));
		}
		if (finding->verdict == VERDICT_NOT_JUDGED && finding->missing_count == 0)
			fault(work, spot, words[mutation],
				arena_format(&work->arena, "%s on %s is not judged and names nothing missing",
					finding->rule->id, finding->item->tag));
	}
}

static void check_refusal(
	struct work *work, const struct spot *spot, enum mutation mutation, const struct result *result)
{
	const struct vocabulary_type *type = type_of(work, spot);
	bool names = type && strcmp(type->name, "tag") == 0; /* what refers to it is at fault then */
	bool here = names || mutation == MUTATION_REMOVED || mutation == MUTATION_ELEMENT_REMOVED;
	for (size_t i = 0; i < result->problems.count; i++) {
		const struct problem *problem = &result->problems.rows[i];
		here = here || problem->place.line == spot->line || problem->code == PROBLEM_EMPTY_CASE;
		if (problem->place.line < 1 || problem->place.column < 1)
			fault(work, spot, words[mutation], problem_line(&result->problems, problem));
	}
	if (!here)
		fault(work, spot, words[mutation],
			arena_format(&work->arena, "refused elsewhere: %s",
				problem_line(&result->problems, &result->problems.rows[0])));
}

static enum fate fate_of(struct work *work, const unsigned char *reads, const struct result *result)
{
	bool read = false, state = false, anew = false;
	if (!result->assessed.table)
		return FATE_REFUSED;
	for (size_t f = 0; f < work->sound->count; f++) {
		const struct finding *before = &work->sound->findings[f], *now = same_finding(result, before);
		enum verdict verdict = verdict_of(now);
		read = read || (reads && reads[f]);
		state = state || (verdict == VERDICT_NOT_JUDGED && before->verdict != VERDICT_NOT_JUDGED);
		anew = anew || verdict != before->verdict;
	}
	return state ? FATE_STATE : anew ? FATE_ANEW : read ? FATE_UNCHANGED : FATE_UNREAD;
}

static enum fate run(struct work *work, const struct spot *spot, const unsigned char *reads, enum mutation mutation,
	const char *text, size_t size, struct result *result)
{
	review_text(work, text, size, result);
	enum fate fate = fate_of(work, reads, result);
	work->counts->fates[mutation][fate]++;
	if (fate == FATE_REFUSED)
		check_refusal(work, spot, mutation, result);
	else
		check_finite(work, spot, mutation, result);
	return fate;
}

/* ---- what is taken away ---- */

/* Blanks in its place, so that everything else keeps its line and column. */
static char *without(struct work *work, struct arena *arena, const struct spot *spot)
{
	char *text = arena_copy_span(arena, work->text, work->size);
	for (size_t i = spot->from; i < spot->to; i++)
		if (text[i] != '\n')
			text[i] = ' ';
	return text;
}

/* A default within the trace of a value that `before` did not rest on already. NULL: none. */
static const char *new_default(const struct quantity *now, const struct quantity *before, int depth)
{
	enum { DEEPEST = 12 };
	if (!now || now == before || depth > DEEPEST)
		return NULL;
	if (now->known == ASSUMED && !(before && before->known == ASSUMED))
		return now->reason;
	for (size_t i = 0; i < now->input_count; i++) {
		const struct quantity *same = before && i < before->input_count ? before->inputs[i].quantity : NULL;
		const char *reason = new_default(now->inputs[i].quantity, same, depth + 1);
		if (reason)
			return reason;
	}
	return NULL;
}

static bool reads_spot(const struct quantity *quantity, const struct spot *spot, int depth)
{
	enum { DEEPEST = 12 };
	if (!quantity || depth > DEEPEST)
		return false;
	if (quantity->known == STATED && quantity->place.line == spot->line && quantity->place.column == spot->column)
		return true;
	for (size_t i = 0; i < quantity->input_count; i++)
		if (reads_spot(quantity->inputs[i].quantity, spot, depth + 1))
			return true;
	return false;
}

/* What a finding rests on instead of the attribute: a default that is shown, or the same value from elsewhere. NULL: nothing. */
static const char *explanation(const struct spot *spot, const struct finding *before, const struct finding *now)
{
	for (size_t i = 0; now && i < now->input_count; i++) {
		const struct quantity *was = before->inputs[i].quantity, *is = now->inputs[i].quantity;
		const char *reason = new_default(is, was, 0);
		if (reason)
			return reason;
		if (reads_spot(was, spot, 0) && is && is->known != UNKNOWN)
			return "the value is known from elsewhere";
	}
	for (size_t i = 0; now && i < now->input_count; i++)
		if (!now->inputs[i].quantity || now->inputs[i].quantity->known == UNKNOWN)
			return NULL;
	for (size_t i = 0; now && i < now->input_count; i++)
		if (now->inputs[i].quantity == now->rule->inputs[i].absent && !now->rule->inputs[i].constant)
			return now->inputs[i].quantity->reason;
	return now ? "every input is known without it" : NULL;
}

/* A rule that the description itself takes away: all that its conditions ask is stated. NULL: not so. */
static const char *stated_conditions(const struct finding *now)
{
	bool any = false;
	for (size_t w = 0; now && w < now->rule->when.count; w++)
		for (size_t i = 0; i < now->input_count; i++) {
			const struct quantity *value = now->inputs[i].quantity;
			if (!(now->rule->when.rows[w].cites >> i & 1))
				continue;
			if (!value || value->known != STATED)
				return NULL;
			any = true;
		}
	return any ? "its conditions are stated otherwise" : NULL;
}

/* A rule that speaks only where something is stated: the review names the item and what it lacks. NULL: it does not. */
static const char *named_instead(const struct finding *now)
{
	return now && now->missing_count ? now->missing[0].reason : NULL;
}

/* What the program takes for the attribute itself, when it is taken away: that of its sides, or of what it is part of. NULL: none. */
static const char *assumed_instead(const struct table *table, const struct item *item, const char *name)
{
	const struct quantity *now = table_get(table, table_find(table, item->tag), EVERY_CASE, name);
	if (!now || now->known == UNKNOWN)
		return NULL;
	return now->known == ASSUMED ? now->reason : "it has that of what it is part of";
}

/* Some value of the attribute makes the rule depart: without the attribute it may not be met, nor fall silent. */
static void check_silence(struct work *work, const struct spot *spot, const struct result *removed)
{
	for (size_t f = 0; removed->assessed.table && f < work->sound->count; f++) {
		const struct finding *before = &work->sound->findings[f], *now = same_finding(removed, before);
		enum verdict verdict = verdict_of(now);
		if (!work->may_fail[f] || (verdict != VERDICT_MEETS && verdict != VERDICT_NOT_APPLICABLE))
			continue;
		if (!table_find(
			    removed->assessed.table, before->item->tag)) /* a contradiction goes with one side of it */
			continue;
		const char *why = explanation(spot, before, now);
		if (!why && verdict == VERDICT_NOT_APPLICABLE)
			why = now && now->missing_count ? named_instead(now) : stated_conditions(now);
		if (!why && !now)
			why = assumed_instead(removed->assessed.table, before->item, spot->name);
		if (why)
			work->counts->explained++;
		else
			work->counts->faults++;
		fprintf(work->out, "%s %s:%d:%d %s %s: %s on %s %s without it, and departs %s%s%s\n",
			why ? "explained" : "SILENT", work->path, spot->line, spot->column, spot->element, spot->name,
			before->rule->id, before->item->tag, now ? verdict_word(verdict) : "falls silent",
			before->verdict == VERDICT_DEPARTS ? "with it" : "with another value", why ? ": " : "",
			why ? why : "");
	}
}

/* ---- what is put in its place ---- */

static const char *unit_of(const char *written)
{
	char *end;
	strtod(written + strspn(written, "<>="), &end);
	return end;
}

static void replace(struct work *work, const struct spot *spot, const unsigned char *reads, enum mutation mutation,
	const char *value)
{
	struct result result;
	struct arena arena = {0};
	if (strlen(value) == spot->value_end - spot->value &&
		strncmp(value, work->text + spot->value, strlen(value)) == 0)
		return;
	struct text text = text_in(&arena);
	text_add_span(&text, work->text, spot->value);
	text_add(&text, value);
	text_add(&text, work->text + spot->value_end);
	run(work, spot, reads, mutation, text.data, text.length, &result);
	for (size_t f = 0; result.assessed.table && f < work->sound->count; f++)
		work->may_fail[f] |= verdict_of(same_finding(&result, &work->sound->findings[f])) == VERDICT_DEPARTS;
	arena_release(&result.arena);
	arena_release(&arena);
}

static void replace_number(
	struct work *work, const struct spot *spot, const unsigned char *reads, const char *written, enum kind kind)
{
	struct arena *arena = &work->arena;
	const char *unit = unit_of(written);
	double number = strtod(written + strspn(written, "<>="), NULL);
	replace(work, spot, reads, MUTATION_ZERO, arena_format(arena, "0%s", unit));
	replace(work, spot, reads, MUTATION_NEGATIVE, arena_format(arena, "-1%s", unit));
	replace(work, spot, reads, MUTATION_HUGE, arena_format(arena, "1e30%s", unit));
	replace(work, spot, reads, MUTATION_NAN, arena_format(arena, "NaN%s", unit));
	replace(work, spot, reads, MUTATION_INFINITE, arena_format(arena, "INF%s", unit));
	replace(work, spot, reads, MUTATION_UNKNOWN_UNIT, "5 smoot");
	replace(work, spot, reads, MUTATION_WRONG_KIND,
		kind == KIND_TEMPERATURE || kind == KIND_TEMPERATURE_DIFFERENCE ? "5 mm/y" : "5 degC");
	replace(work, spot, reads, MUTATION_HALF, arena_format(arena, "%.9g%s", number / 2, unit));
	replace(work, spot, reads, MUTATION_TWICE, arena_format(arena, "%.9g%s", number * 2, unit));
	char *digits = arena_alloc(arena, 1001);
	memset(digits, '7', 1000);
	replace(work, spot, reads, MUTATION_LONG_NUMBER, arena_format(arena, "%s%s", digits, unit));
}

static void replace_word(
	struct work *work, const struct spot *spot, const unsigned char *reads, const struct vocabulary_type *type)
{
	for (size_t i = 0; i < type->choice_count; i++)
		replace(work, spot, reads, MUTATION_OTHER_WORD, type->choices[i].word);
	if (type->accepted.kinds[0] == KIND_YES_NO) {
		replace(work, spot, reads, MUTATION_OTHER_WORD, "yes");
		replace(work, spot, reads, MUTATION_OTHER_WORD, "no");
	}
	replace(work, spot, reads, MUTATION_NO_WORD, "no such word");
}

static void replace_reference(struct work *work, const struct spot *spot, const unsigned char *reads)
{
	size_t step = work->attributes.count / 5 + 1;
	for (size_t i = 0; i < work->attributes.count; i += step)
		for (size_t k = i; k < work->attributes.count; k++) {
			const struct spot *other = &work->attributes.rows[k];
			if (strcmp(other->name, "tag") != 0)
				continue;
			replace(work, spot, reads, MUTATION_OTHER_REFERENCE,
				arena_copy_span(
					&work->arena, work->text + other->value, other->value_end - other->value));
			break;
		}
	replace(work, spot, reads, MUTATION_NO_WORD, "no such tag");
}

/* What a reader must refuse, whatever rules make of it. */
static void check_kinds(struct work *work, const struct spot *spot, const struct mutation_counts *before, bool number)
{
	static const enum mutation refused[] = {MUTATION_HUGE, MUTATION_NAN, MUTATION_INFINITE, MUTATION_UNKNOWN_UNIT,
		MUTATION_WRONG_KIND, MUTATION_EMPTY, MUTATION_LONG, MUTATION_LONG_NUMBER, MUTATION_NO_WORD};
	for (size_t i = 0; i < COUNT(refused); i++)
		for (int fate = FATE_REFUSED + 1; number && fate < FATES; fate++)
			if (work->counts->fates[refused[i]][fate] != before->fates[refused[i]][fate])
				fault(work, spot, words[refused[i]], "not refused");
}

static void mutate_attribute(struct work *work, size_t index)
{
	enum { LONG = 100000 };
	const struct spot *spot = &work->attributes.rows[index];
	const unsigned char *reads = work->reads + index * work->sound->count;
	const struct vocabulary_type *type = type_of(work, spot);
	struct mutation_counts before = *work->counts;
	struct result removed;
	struct arena arena = {0};
	const char *written = arena_copy_span(&work->arena, work->text + spot->value, spot->value_end - spot->value);
	run(work, spot, reads, MUTATION_REMOVED, without(work, &arena, spot), work->size, &removed);
	for (size_t f = 0; f < work->sound->count; f++)
		work->may_fail[f] = reads[f] && work->sound->findings[f].verdict == VERDICT_DEPARTS;
	bool number = type && kind_is_number(type->accepted.kinds[0]);
	if (number)
		replace_number(work, spot, reads, written, type->accepted.kinds[0]);
	else if (type && (type->accepted.kinds[0] == KIND_WORD || type->accepted.kinds[0] == KIND_YES_NO))
		replace_word(work, spot, reads, type);
	else if (type && type->accepted.kinds[0] == KIND_REFERENCE)
		replace_reference(work, spot, reads);
	char *stuff = arena_alloc(&arena, LONG + 1);
	memset(stuff, 'x', LONG);
	replace(work, spot, reads, MUTATION_LONG, stuff);
	replace(work, spot, reads, MUTATION_EMPTY, "");
	check_kinds(work, spot, &before, number);
	check_silence(work, spot, &removed);
	arena_release(&removed.arena);
	arena_release(&arena);
}

/* An element that is gone takes its own findings with it; of the others none may become better for it in silence. */
static void remove_element(struct work *work, size_t index)
{
	const struct spot *spot = &work->elements.rows[index];
	struct result removed;
	struct arena arena = {0};
	run(work, spot, NULL, MUTATION_ELEMENT_REMOVED, without(work, &arena, spot), work->size, &removed);
	for (size_t f = 0; removed.assessed.table && f < work->sound->count; f++) {
		const struct finding *finding = &work->sound->findings[f];
		bool gone = !table_find(removed.assessed.table, finding->item->tag);
		work->may_fail[f] = !gone && finding->verdict == VERDICT_DEPARTS;
	}
	check_silence(work, spot, &removed);
	arena_release(&removed.arena);
	arena_release(&arena);
}

static char *file_bytes(struct arena *arena, const char *path, size_t *size)
{
	FILE *in = fopen(path, "r");
	if (!in)
		abort();
	struct text text = text_in(arena);
	for (int c; (c = getc(in)) != EOF;)
		text_add_char(&text, (char)c);
	fclose(in);
	*size = text.length;
	return text.data;
}

void mutate_design(const char *path, size_t step, size_t offset, const struct vocabulary *vocabulary,
	const struct catalogue *catalogue, struct mutation_counts *counts, FILE *out)
{
	struct work work = {
		.path = path, .vocabulary = vocabulary, .catalogue = catalogue, .counts = counts, .out = out};
	struct result sound;
	work.text = file_bytes(&work.arena, path, &work.size);
	find_spots(&work);
	review_text(&work, work.text, work.size, &sound);
	if (!sound.assessed.table)
		abort(); /* it is to be sound before it is spoilt */
	work.sound = &sound.assessed.judgement;
	find_reads(&work);
	for (size_t i = offset; i < work.attributes.count; i += step)
		mutate_attribute(&work, i);
	for (size_t i = 1 + offset; i < work.elements.count; i += step) /* the first is the unit itself */
		remove_element(&work, i);
	arena_release(&sound.arena);
	arena_release(&work.arena);
}

void mutation_print(const struct mutation_counts *counts, FILE *out)
{
	size_t all = 0;
	fprintf(out, "%-22s %8s %8s %8s %10s %8s\n", "mutation", "refused", "State", "anew", "unchanged", "unread");
	for (int m = 0; m < MUTATION_KINDS; m++) {
		const size_t *fates = counts->fates[m];
		fprintf(out, "%-22s %8zu %8zu %8zu %10zu %8zu\n", words[m], fates[FATE_REFUSED], fates[FATE_STATE],
			fates[FATE_ANEW], fates[FATE_UNCHANGED], fates[FATE_UNREAD]);
		for (int f = 0; f < FATES; f++)
			all += fates[f];
	}
	fprintf(out,
		"%zu mutations, %zu faults; %zu verdicts that pass without the value, by a default or what is stated "
		"elsewhere\n",
		all, counts->faults, counts->explained);
}
