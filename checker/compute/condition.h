/*
 * The condition of a place: shell, zone, part, nozzle, weld, repair, hot tap, side of an exchanger. The metal that is touched is
 * told by contact.h and how hot it gets by metal.h; here are the stress relief as it is now and what has been found.
 *
 * Puts `stress-relieved` (yes or no) and `stress-relief` (text: how, or why not) on everything that is wetted. A treatment counts
 * where all of this holds, each as far as it is stated:
 *	- the metal was held at 593 degC or more: the least that any edition for amine service gives (API RP 945, 2003); the lowest
 *	  thermocouple decides where it is stated, and the construction code's option of a lower temperature for longer counts
 *	  only with such a temperature;
 *	- it was held as long as construction codes ask of the thickness: 1 h for each inch up to two, then a quarter of that
 *	  for each further inch, a quarter of an hour at least (ASME VIII division 1, UCS-56, from memory). Amine service asks for
 *	  more, which is a rule's business and does not undo the treatment;
 *	- it took in all welds; a part with a treatment of its own answers for itself;
 *	- the place was not cold formed beyond 5 % and left so.
 * A repair, a weld of that type, a hot tap or anything else welded on in service has only the treatment stated of itself, and none
 * where nothing is said: the vessel's came before it. Where the treatment is unknown the answer is, with what has to be stated.
 *
 * Puts `stress-relief-recorded` (yes or no) where anything is said of a treatment: an old plant's missing certificate is another
 * matter than a value that nobody states.
 *
 * Puts `cracked` and `blistered` where an inspection, or the item, says what was found, with `cracked-by` and `blistered-by` (text:
 * method and date of the last that found it); and `thinned` (yes) where readings or an inspection show a loss of wall.
 *
 * Puts `allowance-lasts` (s) where a loss of metal was measured and an allowance is stated, and `in-service` (s) by the year of
 * building and the date of the description.
 *
 * It judges nothing: what follows from a condition is said by the rules and by the damage chapter, which both read it.
 */
#ifndef LEANRICH_CONDITION_H
#define LEANRICH_CONDITION_H

#include "resolve/table.h"

/* After contact_compute. */
void condition_compute(struct table *table);

/* Is the item work done on metal in service: a repair, or a weld of that type? */
bool condition_is_later_work(const struct table *table, const struct item *item);

#endif
