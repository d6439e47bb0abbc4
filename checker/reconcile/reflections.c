#include "reconcile/reflections.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <string.h>

/* Rows that have a factor that is not zero, and it; several are added at once, each sum in the order of the rows. */
enum { AT_ONCE = 4 };
struct batch {
	double *rows[AT_ONCE], factors[AT_ONCE];
	size_t count;
};

/* sum += factor * row, one row after another. */
static void add_to(const struct batch *batch, double *restrict sum, size_t count)
{
	const double *const *r = (const double *const *)batch->rows;
	const double *f = batch->factors;

	for (size_t k = 0; k < batch->count && batch->count < AT_ONCE; k++)
		for (size_t i = 0; i < count; i++)
			sum[i] += f[k] * r[k][i];
	for (size_t i = 0; i < count && batch->count == AT_ONCE; i++)
		sum[i] = sum[i] + f[0] * r[0][i] + f[1] * r[1][i] + f[2] * r[2][i] + f[3] * r[3][i];
}

/*
 * A := A - tau v v'A on the part of `a` right of column k and from row k down; v is that column, with 1 in its first place.
 * `work` has room for a row.
 */
static void reflect(gsl_matrix *a, size_t k, double tau, double *work)
{
	size_t right = a->size2 - k - 1;
	struct batch batch = {.count = 0};

	if (tau == 0 || right == 0)
		return;
	memset(work, 0, right * sizeof *work);
	for (size_t i = k; i < a->size1; i++) {
		double *row = a->data + i * a->tda, factor = i == k ? 1 : row[k];
		if (factor == 0)
			continue;
		batch.rows[batch.count] = row + k + 1;
		batch.factors[batch.count++] = factor;
		if (batch.count == AT_ONCE) {
			add_to(&batch, work, right);
			batch.count = 0;
		}
	}
	add_to(&batch, work, right);
	for (size_t i = k; i < a->size1; i++) {
		double *row = a->data + i * a->tda, factor = -tau * (i == k ? 1 : row[k]);
		for (size_t c = 0; factor != 0 && c < right; c++)
			row[k + 1 + c] += factor * work[c];
	}
}

void reflections_decompose(gsl_matrix *a, gsl_vector *tau)
{
	for (size_t k = 0; k < a->size2; k++) {
		gsl_vector_view column = gsl_matrix_subcolumn(a, k, k, a->size1 - k);
		double factor = gsl_linalg_householder_transform(&column.vector);
		/* What comes after the factors found so far is free until it is their turn. */
		reflect(a, k, factor, tau->data + k);
		gsl_vector_set(tau, k, factor);
	}
}

bool reflections_solve(const gsl_matrix *a, const gsl_vector *tau, gsl_vector *b, gsl_vector *x)
{
	gsl_matrix_const_view triangle = gsl_matrix_const_submatrix(a, 0, 0, a->size2, a->size2);
	gsl_vector_const_view top = gsl_vector_const_subvector(b, 0, a->size2);

	if (gsl_linalg_QR_QTvec(a, tau, b) != GSL_SUCCESS)
		return false;
	gsl_vector_memcpy(x, &top.vector);
	return gsl_blas_dtrsv(CblasUpper, CblasNoTrans, CblasNonUnit, &triangle.matrix, x) == GSL_SUCCESS;
}
