/*
 * Documents that values are taken from and that the list of documents does not have, where the package says that the list is
 * complete (documents-complete of the basis). Where it does not say so nothing follows: a list may be a part of one.
 */
#ifndef LEANRICH_DOCUMENTS_H
#define LEANRICH_DOCUMENTS_H

#include "resolve/table.h"

void documents_compute(struct table *table);

#endif
