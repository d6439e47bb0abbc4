#include "reconcile/reflections.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <string.h>

/* sum += factor * row, where the factor is not zero. */
static void add_row(double factor, const double *restrict row, double *restrict sum, size_t count)
{
	if (factor == 0)
		return;
	for (size_t i = 0; i < count; i++)
		sum[i] += factor * row[i];
}

/*
 * A := A - tau v v'A on the part of `a` right of column k and from row k down; v is that column, with 1 in its first place.
 * `work` has room for a row.
 */
static void reflect(gsl_matrix *a, size_t k, double tau, double *work)
{
	size_t right = a->size2 - k - 1;

	if (tau == 0 || right == 0)
		return;
	memset(work, 0, right * sizeof *work);
	for (size_t i = k; i < a->size1; i++) {
		const double *row = a->data + i * a->tda;
		add_row(i == k ? 1 : row[k], row + k + 1, work, right);
	}
	for (size_t i = k; i < a->size1; i++) {
		double *row = a->data + i * a->tda;
		add_row(-tau * (i == k ? 1 : row[k]), work, row + k + 1, right);
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
