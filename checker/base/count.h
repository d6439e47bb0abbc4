/* The number of elements of an array; of a pointer it would be wrong, and gcc says so (-Wsizeof-pointer-div). */
#ifndef LEANRICH_COUNT_H
#define LEANRICH_COUNT_H

#define COUNT(array) (sizeof(array) / sizeof *(array))

#endif
