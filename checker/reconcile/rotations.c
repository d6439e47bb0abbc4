#include "reconcile/rotations.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#define NO_PLACE ((size_t)-1)
enum { BITS = 64 };

struct rotations {
	const struct sparse *matrix;
	size_t *place, *order;	/* of each column; the column at each place */
	size_t *parent, *depth; /* of each place: NO_PLACE of a root; places on its path, itself included */
	size_t *first;		/* of each row of the matrix: its first place */
	size_t *turn;		/* rows of the matrix, those with the fewest entries first */
	size_t *start, *at;	/* entries of R right of its diagonal: their places */
	double *diagonal, *entries, *turned; /* R, and the right side */
	double *work;			     /* by place; zero between calls */
};

/* ---- the order of the columns ---- */

/* Columns that have an entry in one row with another, as bits; rows of `words` words. */
struct coupling {
	uint64_t *bits;
	size_t words, *degree;
};

static uint64_t *bits_of(const struct coupling *coupling, size_t column)
{
	return coupling->bits + column * coupling->words;
}

static bool has_bit(const uint64_t *bits, size_t i)
{
	return bits[i / BITS] >> i % BITS & 1;
}

static void set_bit(uint64_t *bits, size_t i)
{
	bits[i / BITS] |= (uint64_t)1 << i % BITS;
}

static void clear_bit(uint64_t *bits, size_t i)
{
	bits[i / BITS] &= ~((uint64_t)1 << i % BITS);
}

static size_t count_bits(const uint64_t *bits, size_t words)
{
	size_t count = 0;

	for (size_t i = 0; i < words; i++)
		for (uint64_t left = bits[i]; left; left &= left - 1)
			count++;
	return count;
}

static struct coupling couple(struct arena *arena, const struct sparse *matrix)
{
	struct coupling coupling = {.words = matrix->columns / BITS + 1};

	coupling.bits = arena_alloc(arena, (matrix->columns + 1) * coupling.words * sizeof *coupling.bits);
	coupling.degree = arena_alloc(arena, (matrix->columns + 1) * sizeof *coupling.degree);
	for (size_t i = 0; i < matrix->rows; i++)
		for (size_t a = matrix->start[i]; a < matrix->start[i + 1]; a++)
			for (size_t b = matrix->start[i]; b < matrix->start[i + 1]; b++)
				if (a != b)
					set_bit(bits_of(&coupling, matrix->column[a]), matrix->column[b]);
	for (size_t k = 0; k < matrix->columns; k++)
		coupling.degree[k] = count_bits(bits_of(&coupling, k), coupling.words);
	return coupling;
}

/* Couples all that the column is coupled with, and leaves it out of them. Its own bits become its row of R. */
static void eliminate(struct coupling *coupling, size_t columns, size_t column)
{
	const uint64_t *own = bits_of(coupling, column);

	for (size_t k = 0; k < columns; k++) {
		if (!has_bit(own, k))
			continue;
		uint64_t *other = bits_of(coupling, k);
		for (size_t i = 0; i < coupling->words; i++)
			other[i] |= own[i];
		clear_bit(other, column);
		clear_bit(other, k);
		coupling->degree[k] = count_bits(other, coupling->words);
	}
}

static void order_columns(struct rotations *rotations, struct coupling *coupling, size_t columns)
{
	for (size_t k = 0; k < columns; k++)
		rotations->place[k] = NO_PLACE;
	for (size_t place = 0; place < columns; place++) {
		size_t least = NO_PLACE;
		for (size_t k = 0; k < columns; k++)
			if (rotations->place[k] == NO_PLACE &&
				(least == NO_PLACE || coupling->degree[k] < coupling->degree[least]))
				least = k;
		rotations->place[least] = place;
		rotations->order[place] = least;
		eliminate(coupling, columns, least);
	}
}

/* ---- the places of the entries of R, and the tree ---- */

static void fill_places(struct arena *arena, struct rotations *rotations, const struct coupling *coupling)
{
	size_t columns = rotations->matrix->columns, count = 0;

	for (size_t k = 0; k < columns; k++)
		count += count_bits(bits_of(coupling, k), coupling->words);
	rotations->at = arena_alloc(arena, (count + 1) * sizeof *rotations->at);
	rotations->entries = arena_alloc(arena, (count + 1) * sizeof *rotations->entries);
	count = 0;
	for (size_t place = 0; place < columns; place++) {
		const uint64_t *bits = bits_of(coupling, rotations->order[place]);
		rotations->start[place] = count;
		rotations->parent[place] = NO_PLACE;
		for (size_t next = place + 1; next < columns; next++)
			if (has_bit(bits, rotations->order[next]))
				rotations->at[count++] = next;
		if (count > rotations->start[place])
			rotations->parent[place] = rotations->at[rotations->start[place]];
	}
	rotations->start[columns] = count;
	for (size_t place = columns; place-- > 0;)
		rotations->depth[place] =
			rotations->parent[place] == NO_PLACE ? 1 : rotations->depth[rotations->parent[place]] + 1;
}

static size_t first_place(const struct rotations *rotations, size_t row)
{
	const struct sparse *matrix = rotations->matrix;
	size_t first = NO_PLACE;

	for (size_t e = matrix->start[row]; e < matrix->start[row + 1]; e++)
		if (rotations->place[matrix->column[e]] < first)
			first = rotations->place[matrix->column[e]];
	return first;
}

/* Rows with few entries fill R less while it is empty. */
static void order_rows(struct rotations *rotations)
{
	const struct sparse *matrix = rotations->matrix;
	size_t done = 0;

	for (size_t entries = 0; done < matrix->rows; entries++)
		for (size_t i = 0; i < matrix->rows; i++)
			if (matrix->start[i + 1] - matrix->start[i] == entries)
				rotations->turn[done++] = i;
}

static size_t *places(struct arena *arena, size_t count)
{
	return arena_alloc(arena, (count + 1) * sizeof(size_t));
}

static double *numbers(struct arena *arena, size_t count)
{
	return arena_alloc(arena, (count + 1) * sizeof(double));
}

struct rotations *rotations_new(struct arena *arena, const struct sparse *matrix)
{
	struct rotations *rotations = arena_alloc(arena, sizeof *rotations);
	size_t n = matrix->columns, m = matrix->rows;

	*rotations = (struct rotations){.matrix = matrix,
		.place = places(arena, n),
		.order = places(arena, n),
		.parent = places(arena, n),
		.depth = places(arena, n),
		.first = places(arena, m),
		.turn = places(arena, m),
		.start = places(arena, n),
		.diagonal = numbers(arena, n),
		.turned = numbers(arena, n),
		.work = numbers(arena, n)};
	struct coupling coupling = couple(arena, matrix);
	order_columns(rotations, &coupling, n);
	fill_places(arena, rotations, &coupling);
	for (size_t i = 0; i < m; i++)
		rotations->first[i] = first_place(rotations, i);
	order_rows(rotations);
	return rotations;
}

/* ---- numbers ---- */

static void spread_out(struct rotations *rotations, size_t row)
{
	const struct sparse *matrix = rotations->matrix;

	for (size_t e = matrix->start[row]; e < matrix->start[row + 1]; e++)
		rotations->work[rotations->place[matrix->column[e]]] = matrix->value[e];
}

/* Turns a row, in `work`, into R. */
static void rotate_in(struct rotations *rotations, size_t first, double right)
{
	double *work = rotations->work;

	for (size_t k = first; k != NO_PLACE; k = rotations->parent[k]) {
		double x = work[k];
		if (x == 0)
			continue;
		double length = hypot(rotations->diagonal[k], x), c = rotations->diagonal[k] / length, s = x / length;
		work[k] = 0;
		rotations->diagonal[k] = length;
		for (size_t e = rotations->start[k]; e < rotations->start[k + 1]; e++) {
			double above = rotations->entries[e], below = work[rotations->at[e]];
			rotations->entries[e] = c * above + s * below;
			work[rotations->at[e]] = c * below - s * above;
		}
		double above = rotations->turned[k];
		rotations->turned[k] = c * above + s * right;
		right = c * right - s * above;
	}
}

void rotations_decompose(struct rotations *rotations, const double *diagonal, const double *of_diagonal,
	const bool *left_out, const double *right)
{
	size_t n = rotations->matrix->columns;

	for (size_t e = 0; e < rotations->start[n]; e++)
		rotations->entries[e] = 0;
	for (size_t place = 0; place < n; place++) {
		rotations->diagonal[place] = diagonal[rotations->order[place]];
		rotations->turned[place] = of_diagonal[rotations->order[place]];
	}
	for (size_t i = 0; i < rotations->matrix->rows; i++) {
		size_t row = rotations->turn[i];
		if (left_out[row])
			continue;
		spread_out(rotations, row);
		rotate_in(rotations, rotations->first[row], right[row]);
	}
}

void rotations_solve(struct rotations *rotations, double *x)
{
	size_t n = rotations->matrix->columns;

	for (size_t place = n; place-- > 0;) {
		double left = rotations->turned[place];
		for (size_t e = rotations->start[place]; e < rotations->start[place + 1]; e++)
			left -= rotations->entries[e] * x[rotations->order[rotations->at[e]]];
		x[rotations->order[place]] = left / rotations->diagonal[place];
	}
}

size_t rotations_path(const struct rotations *rotations, size_t row)
{
	return rotations->first[row] == NO_PLACE ? 0 : rotations->depth[rotations->first[row]];
}

/* Solves with the transpose of R for what `work` has from a place on; q NULL: not kept. Gives its square. */
static double solve_path(struct rotations *rotations, size_t first, double *q)
{
	double *work = rotations->work, square = 0;
	size_t count = 0;

	for (size_t k = first; k != NO_PLACE; k = rotations->parent[k]) {
		double x = work[k] / rotations->diagonal[k];
		work[k] = 0;
		for (size_t e = rotations->start[k]; x != 0 && e < rotations->start[k + 1]; e++)
			work[rotations->at[e]] -= rotations->entries[e] * x;
		square += x * x;
		if (q)
			q[count++] = x;
	}
	return square;
}

void rotations_row(struct rotations *rotations, size_t row, double *q)
{
	spread_out(rotations, row);
	solve_path(rotations, rotations->first[row], q);
}

double rotations_variance(struct rotations *rotations, size_t column)
{
	size_t place = rotations->place[column];

	rotations->work[place] = 1;
	return solve_path(rotations, place, NULL);
}

double rotations_product(
	const struct rotations *rotations, size_t row_a, const double *q_a, size_t row_b, const double *q_b)
{
	size_t a = rotations->first[row_a], b = rotations->first[row_b];
	double sum = 0;

	/* NO_PLACE is the largest: paths without a place in common end there together. */
	while (a != b)
		if (a < b) {
			a = rotations->parent[a];
			q_a++;
		} else {
			b = rotations->parent[b];
			q_b++;
		}
	for (size_t k = 0; a != NO_PLACE && k < rotations->depth[a]; k++)
		sum += q_a[k] * q_b[k];
	return sum;
}
