/*
 * Dense QR by Householder reflections of a matrix that is mostly zero at first, as a stack of rows and priors is: the step of
 * gsl_linalg_QR_decomp, in the same order and to the same bits, without the arithmetic on rows that a reflection leaves as they
 * are. The result is in GSL's form, for its functions.
 */
#ifndef LEANRICH_REFLECTIONS_H
#define LEANRICH_REFLECTIONS_H

#include <stdbool.h>

#include <gsl/gsl_matrix.h>

/* `a`: rows x columns, at least as many rows; overwritten by R and the reflections, whose factors go into `tau`. */
void reflections_decompose(gsl_matrix *a, gsl_vector *tau);

/*
 * The x of least |a x - b| from the decomposition, into `x`; `b` is overwritten. False: R is singular. The residual, which
 * gsl_linalg_QR_lssolve calculates too, is not.
 */
bool reflections_solve(const gsl_matrix *a, const gsl_vector *tau, gsl_vector *b, gsl_vector *x);

#endif
