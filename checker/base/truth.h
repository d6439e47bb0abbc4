/*
 * An answer that may not be known: no, yes, perhaps. Nothing that is not known counts as yes or as no; perhaps stays perhaps
 * until one side decides it.
 */
#ifndef LEANRICH_TRUTH_H
#define LEANRICH_TRUTH_H

enum truth { NO, YES, PERHAPS };

enum truth truth_and(enum truth a, enum truth b);
enum truth truth_or(enum truth a, enum truth b);
enum truth truth_not(enum truth a);

#endif
