/*
 * What a sentence outside of the tables says of the plant: the specification of the treated gas, contaminants of the feed, a reflux
 * ratio, antifoam, a solvent without activator ("Sales gas limit is 0.25 gr H2S/100 scf and 2.0 mol% CO2").
 *
 * The sentence is kept as a note by who calls, whatever was understood of it. What is conditional, denied, of a case, or of one of
 * several gases is not taken; figures and substances that do not stand in pairs are not taken either. The words are common
 * practice, no source.
 */
#ifndef LEANRICH_IMPORT_SENTENCE_H
#define LEANRICH_IMPORT_SENTENCE_H

#include "import/package.h"

/* Reads the cell's text into the draft, and reports what it took. */
void sentence_read(struct package *package, const struct sheet *sheet, const char *document, size_t row, size_t column);

#endif
