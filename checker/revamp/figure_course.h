/* Quantities along a sweep as small panels over one axis: the value, its limit, and where the verdict turns. */
#ifndef LEANRICH_FIGURE_COURSE_H
#define LEANRICH_FIGURE_COURSE_H

#include "revamp/course.h"
#include "write/write_html.h"

void figure_course(struct page *page, xmlNode *parent, const struct course *course);

#endif
