/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include "media.h"

static volatile sig_atomic_t asked; /* the number of the signal */

static void note(int number)
{
    asked = number;
}

void stop_watch(void)
{
    static const int numbers[] = {SIGINT, SIGTERM, SIGHUP};
    struct sigaction now, act = {.sa_handler = note};
    sigemptyset(&act.sa_mask);
    for (size_t i = 0; i < TW_COUNT(numbers); i++)
        if (sigaction(numbers[i], NULL, &now) == 0 && now.sa_handler != SIG_IGN) /* as nohup wants it */
            sigaction(numbers[i], &act, NULL);
}

const volatile sig_atomic_t *stop_flag(void)
{
    return &asked;
}

bool stop_asked(void)
{
    return asked != 0;
}

void stop_pass_on(void)
{
    if (asked == 0)
        return;
    struct sigaction act = {.sa_handler = SIG_DFL};
    sigemptyset(&act.sa_mask);
    sigaction(asked, &act, NULL);
    raise(asked);
}
