/* SPDX-License-Identifier: Apache-2.0
 *
 * Seconds, for benches; to be included after the feature macro.
 */
#ifndef TW_TESTS_BENCH_CLOCK_H
#define TW_TESTS_BENCH_CLOCK_H

#include <sys/resource.h>
#include <time.h>

/* On the wall. */
static inline double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

/* Of processors, by this process (RUSAGE_SELF) or those it waited for (RUSAGE_CHILDREN). */
static inline double spent(int who)
{
    struct rusage use;
    getrusage(who, &use);
    return (double)(use.ru_utime.tv_sec + use.ru_stime.tv_sec) +
           (double)(use.ru_utime.tv_usec + use.ru_stime.tv_usec) * 1e-6;
}

#endif
