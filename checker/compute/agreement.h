/*
 * Two statements of one quantity held against each other, and the contradiction where they disagree.
 *
 * How far they may lie apart follows from where they come from. Within one document it is what printing rounds off and what a
 * conversion is uncertain by; between documents, and of what is measured, it is the larger uncertainty of the two. A bound
 * agrees with what it allows. Two that disagree become an item of kind "contradiction" in the item concerned, once for all cases
 * in which they do; so do two that cannot be compared because a density or a strength is not stated, and then what is
 * missing is asked for.
 */
#ifndef LEANRICH_AGREEMENT_H
#define LEANRICH_AGREEMENT_H

#include "compute/scene.h"

/* One side: whose value it is, and the value brought to the basis on which the two are compared. */
struct side_stated {
	const struct item *item;
	const char *name;		 /* of the attribute or the computed quantity */
	const struct quantity *quantity; /* as stated or calculated */
	double si;			 /* on the common basis; NaN where it cannot be brought to it */
	double uncertainty;		 /* half width there */
	double printed;			 /* half of its last digit there; 0 where it is calculated */
};

/* A side on its own basis. */
struct side_stated side_of(const struct item *item, const char *name, const struct quantity *quantity);

/* The same multiplied by `factor`, which is uncertain by a share of itself. */
struct side_stated side_times(struct side_stated side, double factor, double relative);

struct meeting {
	const struct item *item; /* whose quantity is in question */
	const char *quantity;	 /* its name */
	int operating_case;	 /* in which the value shown is used; EVERY_CASE: the plain one */
	struct side_stated used, other;
	bool one_document;
	double allowed;	     /* apart for another reason than the two figures (friction, height), on the common basis */
	bool at_most;	     /* the used side may be smaller: it is a part of the other */
	const char *through; /* how the one was brought to the basis of the other: "by the density of lean-cold"; "" */
	const char *why;     /* why the used one is used */
	struct missing missing; /* for want of which the two cannot be compared */
	unsigned sorts;		/* of slips that may explain it (slips.h) */
};

/* PERHAPS: the two cannot be compared. */
enum truth meeting_agrees(const struct meeting *meeting);

/* Did one document state both? Neither naming any, both are in one element. */
bool same_document(const struct side_stated *a, const struct side_stated *b);

/*
 * Puts the contradiction. `cases`: in how many of the operating cases they disagree, with the names of those; `first` the case
 * shown. `hint`: what would explain it other than a slip of unit, or NULL.
 */
void meeting_put(struct table *table, const struct meeting *meeting, const char *cases, const char *hint);

/* Pa, of the site; the standard atmosphere where the description has no basis. */
double agreement_barometric(const struct table *table);

/* Marks both as read: something was held against them. */
void meeting_read(const struct table *table, const struct meeting *meeting);

#endif
