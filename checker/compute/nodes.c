#include "compute/nodes.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/agreement.h"
#include "compute/discrepancy.h"
#include "compute/solvent.h"
#include "resolve/equipment.h"

/* The streams on one side of a node, each once. */
struct joined {
	const struct item *rows[NODE_STREAMS_MOST];
	size_t count;
	bool too_many;
};

struct node {
	struct joined in, out;
	bool gives_off_gas; /* acid gas leaves, or enters, with what is no amine */
	bool mixes;	    /* nothing but mixing happens: temperatures follow */
};

/* ---- which streams ---- */

static void join(struct joined *side, const struct item *stream)
{
	if (!item_is(stream, "stream"))
		return;
	for (size_t i = 0; i < side->count; i++)
		if (side->rows[i] == stream)
			return;
	if (side->count < NODE_STREAMS_MOST)
		side->rows[side->count++] = stream;
	else
		side->too_many = true;
}

static const struct item *named(const struct scene *scene, const struct item *item, const char *reference)
{
	const struct quantity *word = scene_get_of(scene, item, reference);

	return word && word->known != UNKNOWN && word->word ? table_find(scene->table, word->word) : NULL;
}

static void join_words(const struct scene *scene, struct joined *side, const char *name)
{
	const char *words = table_word(scene->table, scene->item, scene->operating_case, name);

	for (const char *at = words; at && *at;) {
		size_t length = strcspn(at, " \t\r\n");
		join(side, table_find(scene->table, arena_copy_span(table_arena(scene->table), at, length)));
		at += length + strspn(at + length, " \t\r\n");
	}
}

/* Does the item's reference of this name lead to the scene's item? */
static bool names_item(const struct scene *scene, const struct item *item, const char *reference)
{
	const struct quantity *word = scene_get_of(scene, item, reference);

	return word && word->known != UNKNOWN && word->word && text_same(word->word, scene->item->tag) &&
		table_find(scene->table, word->word) == scene->item;
}

/* Streams whose `name` is this item. */
static void join_pointing(const struct scene *scene, struct joined *side, const char *name)
{
	struct items streams = table_of_kind(scene->table, "stream");

	for (size_t i = 0; i < streams.count; i++)
		if (streams.rows[i] != scene->item && names_item(scene, streams.rows[i], name))
			join(side, streams.rows[i]);
}

static const char *service_of(const struct scene *scene, const struct item *stream)
{
	const char *service = table_word(scene->table, stream, scene->operating_case, "service");

	return service ? service : "";
}

static bool is_amine(const struct scene *scene, const struct item *stream)
{
	return text_has_word("lean rich semi-lean", service_of(scene, stream)) && *service_of(scene, stream);
}

/* Leaves the streams of amine: of a column or a drum, gas and water go their own ways. */
static void keep_amine(const struct scene *scene, struct joined *side)
{
	size_t kept = 0;

	for (size_t i = 0; i < side->count; i++)
		if (is_amine(scene, side->rows[i]))
			side->rows[kept++] = side->rows[i];
	side->count = kept;
}

static void by_references(const struct scene *scene, struct joined *side, const char *const *references, size_t count)
{
	for (size_t i = 0; i < count; i++)
		join(side, named(scene, scene->item, references[i]));
}

/* Does a split of the network, or another stream that comes from the drawn one, lie between suction and discharge? */
static bool parts_before(const struct scene *scene, const struct item *suction)
{
	struct items streams = table_of_kind(scene->table, "stream"), splits = table_of_kind(scene->table, "split");
	bool parts = false;

	for (size_t i = 0; i < splits.count && !parts; i++)
		parts = named(scene, splits.rows[i], "from") == suction;
	size_t from = 0;
	for (size_t i = 0; i < streams.count; i++)
		from += named(scene, streams.rows[i], "from") == suction;
	return parts || from > 1;
}

static bool find_pump(const struct scene *scene, struct node *node)
{
	const struct item *suction = named(scene, scene->item, "suction");

	if (suction && parts_before(scene, suction))
		return false;
	join(&node->in, suction);
	join(&node->out, named(scene, scene->item, "discharge"));
	return true;
}

/* A stream that others come from without a split that says so, or that others go to. */
static bool find_junction(const struct scene *scene, struct node *node)
{
	struct joined from = {.count = 0}, to = {.count = 0};

	join_pointing(scene, &from, "from");
	join_pointing(scene, &to, "to");
	if (from.count > 1) {
		join(&node->in, scene->item);
		node->out = from;
	} else if (to.count > 0) {
		node->in = to;
		join(&node->out, scene->item);
	}
	node->mixes = to.count > 1 && from.count < 2;
	return from.count > 1 || to.count > 0;
}

static bool find_column(const struct scene *scene, struct node *node)
{
	static const char *const in[] = {"lean", "semi-lean"}, *const out[] = {"rich"};
	static const char *const feed[] = {"feed"}, *const lean[] = {"lean", "semi-lean"};
	bool regenerator = item_is(scene->item, "regenerator");

	by_references(scene, &node->in, regenerator ? feed : in, regenerator ? 1 : 2);
	by_references(scene, &node->out, regenerator ? lean : out, regenerator ? 2 : 1);
	node->gives_off_gas = true;
	return true;
}

static bool find_drum(const struct scene *scene, struct node *node)
{
	join_pointing(scene, &node->in, "to");
	join_pointing(scene, &node->out, "from");
	join(&node->in, named(scene, scene->item, "rich"));
	join(&node->out, named(scene, scene->item, "rich-outlet"));
	keep_amine(scene, &node->in);
	keep_amine(scene, &node->out);
	node->gives_off_gas = true;
	return true;
}

/* The streams of a node that the scene's item stands for; false: it is none. */
static bool find_node(const struct scene *scene, struct node *node)
{
	const struct item *item = scene->item;

	*node = (struct node){.mixes = false};
	if (item_is_any(item, "split mix")) {
		join_words(scene, &node->in, "from");
		join_words(scene, &node->out, "to");
		node->mixes = item_is(item, "mix");
		return true;
	}
	if (item_is(item, "stream"))
		return find_junction(scene, node);
	if (item_in(item, CLASS_SIDE)) {
		join(&node->in, named(scene, item, "inlet"));
		join(&node->out, named(scene, item, "outlet"));
		return item_in(item->parent, CLASS_HEAT_EXCHANGER) && !item_in(item->parent, CLASS_KETTLE);
	}
	if (item_is(item, "pump"))
		return find_pump(scene, node);
	if (item_is(item, "regenerator") || item_is(item, "treater") ||
		(item_is(item, "absorber") && !scene_get(scene, "amine-in")))
		return find_column(scene, node);
	if (item_is_any(item, "flash-drum tank cooler"))
		return find_drum(scene, node);
	return false;
}

bool node_streams(
	const struct scene *scene, const struct item **in, size_t *in_count, const struct item **out, size_t *out_count)
{
	struct node node;

	if (!find_node(scene, &node) || node.in.too_many || node.out.too_many)
		return false;
	*in_count = node.in.count;
	*out_count = node.out.count;
	memcpy(in, node.in.rows, node.in.count * sizeof *in);
	memcpy(out, node.out.rows, node.out.count * sizeof *out);
	return true;
}

static bool same_streams(const struct joined *a, const struct joined *b)
{
	bool same = a->count == b->count;

	for (size_t i = 0; i < a->count && same; i++) {
		bool found = false;
		for (size_t k = 0; k < b->count && !found; k++)
			found = a->rows[i] == b->rows[k];
		same = found;
	}
	return same;
}

static bool is_alone(const struct joined *side, const struct item *stream)
{
	return side->count == 1 && side->rows[0] == stream;
}

/* A stream that is a node is all that goes in or all that goes out. */
static bool may_be_same(const struct item *item, const struct node *node)
{
	return !item_is(item, "stream") || is_alone(&node->in, item) || is_alone(&node->out, item);
}

static bool tells_of(const struct scene *scene, const struct node *node, const struct item *item)
{
	struct scene other = *scene;
	struct node its;

	other.item = item;
	return may_be_same(item, node) && find_node(&other, &its) && same_streams(&its.in, &node->in) &&
		same_streams(&its.out, &node->out);
}

/* Is the same place described by an item before? A split or mix goes before equipment. */
static bool is_told_before(const struct scene *scene, const struct node *node)
{
	static const char *const parting[] = {"split", "mix"};
	bool parts = item_is_any(scene->item, "split mix"), told = false;

	for (size_t k = 0; k < COUNT(parting); k++) {
		struct items all = table_of_kind(scene->table, parting[k]);
		for (size_t i = 0; i < all.count && !told; i++)
			told = (!parts || all.rows[i]->index < scene->item->index) &&
				tells_of(scene, node, all.rows[i]);
	}
	for (size_t i = 0; !parts && i < scene->item->index && !told; i++)
		told = tells_of(scene, node, table_item(scene->table, i));
	return told;
}

/* ---- sums ---- */

struct sum {
	double value, error,
		single; /* of all; its half width; of all but what repeats another between the same items */
};

struct account {
	bool of_amine;
	struct input inputs[2 * NODE_STREAMS_MOST];
	size_t count;
	struct sum in, out, gas_in, gas_out; /* mol/s of amine or kg/s; mol/s of acid gas */
	double heat, mass, printed; /* of the incoming: flow times temperature, flow; roundings as shares, summed */
	bool one_document, bounded; /* bounded: some loading is stated as "<..." */
	const char *document;
};

static bool repeats(const struct scene *scene, const struct joined *side, size_t at, double amount)
{
	const struct item *stream = side->rows[at];

	for (size_t i = 0; i < at; i++) {
		const struct quantity *flow = scene_get_of(scene, side->rows[i], "mass-flow");
		const struct item *from = named(scene, stream, "from"), *to = named(scene, stream, "to");
		if (from && to && named(scene, side->rows[i], "from") == from &&
			named(scene, side->rows[i], "to") == to && is_number(flow) &&
			fabs(flow->si - amount) <= 0.01 * amount)
			return true;
	}
	return false;
}

static void note_origin(const struct scene *scene, struct account *account, const struct item *stream, double share)
{
	const struct quantity *stated = table_stated(scene->table, stream, scene->operating_case, "flow");

	if (!stated || stated->known != STATED || !*stated->document ||
		(account->document && strcmp(account->document, stated->document) != 0)) {
		account->one_document = false;
		return;
	}
	account->document = stated->document;
	if (fabs(stated->si) > 0)
		account->printed += share * quantity_half_digit(stated) / fabs(stated->si);
}

/* Of a strength or salts that are only bounds the moles are not known. */
static bool strength_is_bound(const struct stream_solution *solution)
{
	bool bound = false;

	for (size_t i = 0; i < solution->count && !bound; i++) {
		const char *property = input_property(&solution->inputs[i]);
		bound = is_bound(solution->inputs[i].quantity) && property && strcmp(property, "h2s") != 0 &&
			strcmp(property, "co2") != 0;
	}
	return bound;
}

static bool loading_is_bound(const struct scene *scene, const struct item *stream)
{
	return is_bound(scene_get_of(scene, stream, "h2s")) || is_bound(scene_get_of(scene, stream, "co2"));
}

/* Adds one stream to its side; false: its flow is unknown. */
static bool add_stream(const struct scene *scene, struct account *account, const struct joined *side, size_t at,
	struct sum *flow, struct sum *gas)
{
	const struct item *stream = side->rows[at];
	struct input mass = input_rises(scene_input_of(scene, stream, "m", "mass-flow"));
	struct stream_solution solution = {.known = false};
	double relative = 0, amount = mass.quantity->si;

	if (!is_number(mass.quantity))
		return false;
	if (account->of_amine) {
		solution = solvent_of_stream(scene, stream, false);
		if (strength_is_bound(&solution))
			return false;
		amount = solvent_amine_flow(scene, stream, &solution, &relative);
		account->bounded = account->bounded || loading_is_bound(scene, stream);
		for (size_t g = 0; g < GAS_COUNT; g++)
			gas->value += amount * solution.state.loading[g];
	}
	account->inputs[account->count++] = mass;
	flow->value += amount;
	flow->single += repeats(scene, side, at, mass.quantity->si) ? 0 : amount;
	flow->error = hypot(flow->error, amount * relative_uncertainty(mass.quantity));
	note_origin(scene, account, stream, amount);
	return !isnan(amount);
}

/* The temperature after mixing: heat capacities of streams of one service are taken alike. */
static void add_heat(const struct scene *scene, struct account *account, const struct item *stream)
{
	const struct quantity *mass = scene_get_of(scene, stream, "mass-flow"),
			      *temperature = scene_get_of(scene, stream, "temperature");

	account->heat += is_number(temperature) ? mass->si * temperature->si : (double)NAN;
	account->mass += mass->si;
}

static bool all_amine(const struct scene *scene, const struct node *node)
{
	bool all = true;

	for (size_t i = 0; i < node->in.count; i++)
		all = all && is_amine(scene, node->in.rows[i]);
	for (size_t i = 0; i < node->out.count; i++)
		all = all && is_amine(scene, node->out.rows[i]);
	return all;
}

static bool add_up(const struct scene *scene, const struct node *node, struct account *account)
{
	bool known = true;

	for (size_t i = 0; i < node->in.count && known; i++) {
		known = add_stream(scene, account, &node->in, i, &account->in, &account->gas_in);
		if (known)
			add_heat(scene, account, node->in.rows[i]);
	}
	for (size_t i = 0; i < node->out.count && known; i++)
		known = add_stream(scene, account, &node->out, i, &account->out, &account->gas_out);
	return known;
}

/* Each flow of the one side that is all of itself or repeats another: whichever closes. */
static double nearest_pair(const struct account *account, double *in, double *out)
{
	const double ins[] = {account->in.value, account->in.single},
		     outs[] = {account->out.value, account->out.single};
	double least = (double)INFINITY;

	for (size_t i = 0; i < 4; i++) {
		double a = ins[i / 2], b = outs[i % 2], apart = fabs(a - b) / fmax(a, b);
		if (apart < least) {
			least = apart;
			*in = a;
			*out = b;
		}
	}
	return least;
}

/* ---- results ---- */

static void put_flow(const struct scene *scene, struct account *account)
{
	double in = 0, out = 0, apart = nearest_pair(account, &in, &out);
	enum kind kind = account->of_amine ? KIND_MOLAR_FLOW : KIND_MASS_FLOW;
	double larger = fmax(in, out), spread = hypot(account->in.error, account->out.error);

	if (account->one_document)
		spread = account->printed;
	scene_compute(scene, "node-in", kind, in, account->in.error, FORMULA_NODE_SUM, account->inputs, account->count);
	scene_compute(
		scene, "node-out", kind, out, account->out.error, FORMULA_NODE_SUM, account->inputs, account->count);
	scene_compute(scene, "node-difference", KIND_SHARE, apart, spread / larger, FORMULA_NODE_APART, account->inputs,
		account->count);
	scene_put_word(
		scene, "one-document", KIND_YES_NO, account->one_document ? "yes" : "no", "the documents of the flows");
	const struct slip_site site = slip_site_of(agreement_barometric(scene->table));
	const char *slip = slip_between(table_arena(scene->table), KIND_LIQUID_FLOW,
		slips_of_kind(KIND_LIQUID_FLOW, false), in, out, spread / larger, &site);
	if (slip)
		slip_put(scene, "slip", slip);
}

/* Of amine streams between which nothing gives off gas: their acid gas, where the flows themselves close. */
static void put_gas(const struct scene *scene, const struct node *node, struct account *account)
{
	double in = account->gas_in.value, out = account->gas_out.value, larger = fmax(in, out);
	double flows = fabs(account->in.value - account->out.value) / fmax(account->in.value, account->out.value);

	if (!account->of_amine || account->bounded || node->gives_off_gas || !(larger > 0) || flows > 0.02)
		return;
	scene_compute(scene, "node-acid-gas", KIND_MOLAR_FLOW, in, 0.1 * in, FORMULA_NODE_GAS, account->inputs,
		account->count);
	scene_compute(scene, "node-acid-gas-difference", KIND_SHARE, fabs(in - out) / larger, 0.1, FORMULA_NODE_APART,
		account->inputs, account->count);
}

static void put_heat(const struct scene *scene, const struct node *node, const struct account *account)
{
	if (!node->mixes || node->out.count != 1 || isnan(account->heat))
		return;
	struct input inputs[NODE_STREAMS_MOST + 1];
	size_t count = 0;
	for (size_t i = 0; i < node->in.count; i++)
		inputs[count++] = scene_input_of(scene, node->in.rows[i], "t", "temperature");
	double mixed = account->heat / account->mass;
	const struct quantity *found = scene_computed(
		scene, "mixed-temperature", KIND_TEMPERATURE, mixed, 1, FORMULA_MIXED_TEMPERATURE, inputs, count);
	struct input ends[] = {scene_input_of(scene, node->out.rows[0], "x", "temperature"),
		scene_input_is("y", "temperature after mixing", found)};
	if (is_number(ends[0].quantity))
		scene_compute(scene, "mixed-difference", KIND_TEMPERATURE_DIFFERENCE,
			fabs(ends[0].quantity->si - mixed), hypot(ends[0].quantity->uncertainty, 1),
			FORMULA_ABSOLUTE_DIFFERENCE, ends, 2);
}

/* Some flows are of this case and others of the normal one, since the case states none: they need not close. */
static bool is_mixed(const struct account *account)
{
	bool of_case = false, of_normal = false;

	for (size_t i = 0; i < account->count; i++) {
		of_case = of_case || account->inputs[i].quantity->of_case;
		of_normal = of_normal || account->inputs[i].quantity->of_normal;
	}
	return of_case && of_normal;
}

/* In a case of which some flow is not known the common result must not show through. */
static void leave_open(const struct scene *scene)
{
	static const char *const names[] = {"node-in", "node-out", "node-difference", "node-acid-gas",
		"node-acid-gas-difference", "mixed-temperature", "mixed-difference"};
	struct arena *arena = table_arena(scene->table);

	for (size_t i = 0; i < COUNT(names) && scene->operating_case != EVERY_CASE; i++) {
		const struct quantity *common = scene_get(scene, names[i]);
		if (common)
			scene_put_made(scene, names[i],
				quantity_lacking(
					arena, common->kind, item_lacks(arena, scene->item, "flow of each stream")));
	}
}

static void of_node(const struct scene *scene)
{
	struct node node;

	if (!find_node(scene, &node) || !node.in.count || !node.out.count || node.in.too_many || node.out.too_many ||
		is_told_before(scene, &node))
		return;
	struct account *account = arena_alloc(table_arena(scene->table), sizeof *account);
	*account = (struct account){.of_amine = all_amine(scene, &node), .one_document = true};
	if (!add_up(scene, &node, account)) {
		leave_open(scene);
		return;
	}
	if (is_mixed(account) || !(account->in.value > 0) || !(account->out.value > 0))
		return;
	put_flow(scene, account);
	put_gas(scene, &node, account);
	put_heat(scene, &node, account);
}

void nodes_compute(struct table *table)
{
	scene_each(table, of_node);
}
