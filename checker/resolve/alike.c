#include "resolve/alike.h"

#include "base/text.h"

static bool same_knowledge(const struct quantity *a, const struct quantity *b)
{
	return a->known == b->known && a->kind == b->kind && a->bound == b->bound && a->reached == b->reached &&
		a->owed == b->owed && a->unrecorded == b->unrecorded && a->of_case == b->of_case &&
		a->of_normal == b->of_normal && a->silent == b->silent && a->formula == b->formula &&
		text_same(a->reason, b->reason) && text_same(a->written, b->written) &&
		text_same(a->document, b->document);
}

static bool is_open(const struct quantity *quantity)
{
	return quantity && (quantity->known == UNKNOWN || quantity->bound != BOUND_NONE);
}

static bool same_roots(const struct quantity *a, const struct quantity *b)
{
	bool same = text_same(a->missing, b->missing) && a->input_count == b->input_count;
	for (size_t i = 0; same && i < a->input_count; i++) {
		const struct input *x = &a->inputs[i], *y = &b->inputs[i];
		bool open = is_open(x->quantity) || is_open(y->quantity);
		same = text_same(x->name, y->name) && x->effect == y->effect &&
			(!open || alike_values(x->quantity, y->quantity));
	}
	return same;
}

bool alike_values(const struct quantity *a, const struct quantity *b)
{
	if (a == b || !a || !b)
		return a == b;
	return number_same(a->si, b->si) && same_knowledge(a, b) && number_same(a->uncertainty, b->uncertainty) &&
		number_same(a->undecided, b->undecided) && number_same(a->datum, b->datum) &&
		text_same(a->word, b->word) && alike_values(a->second, b->second) && (!is_open(a) || same_roots(a, b));
}

bool alike_items(const struct table *before, const struct table *after)
{
	const struct table *a = table_lowest(before), *b = table_lowest(after);
	bool same = table_item_count(a) == table_item_count(b) && table_case_count(a) == table_case_count(b);
	for (size_t i = 0; same && i < table_item_count(a); i++) {
		const struct item *x = table_item(a, i), *y = table_item(b, i);
		same = text_same(x->tag, y->tag) && text_same(x->kind, y->kind) && text_same(x->text, y->text);
	}
	for (size_t c = 0; same && c < table_case_count(a); c++) {
		const struct operating_case *x = table_case(a, (int)c), *y = table_case(b, (int)c);
		same = text_same(x->id, y->id) && x->upset == y->upset;
	}
	return same;
}
