/* freeze: stops one thread of a process and leaves the others running, as a thread that is stuck would look from outside.
 *
 *   freeze PID THREAD     the thread's name, as in /proc/PID/task/TID/comm
 *
 * Prints the thread's number once it stands still; ends when the process has ended. */
#define _GNU_SOURCE
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ptrace.h>
#include <sys/wait.h>
#include <unistd.h>

static int thread_of(const char *pid, const char *name) {
    char path[512], comm[64];
    snprintf(path, sizeof path, "/proc/%s/task", pid);
    DIR *tasks = opendir(path);
    if (!tasks) return -1;
    int found = -1;
    for (struct dirent *task; found < 0 && (task = readdir(tasks));) {
        snprintf(path, sizeof path, "/proc/%s/task/%s/comm", pid, task->d_name);
        FILE *file = fopen(path, "r");
        if (!file) continue;
        if (fgets(comm, sizeof comm, file)) {
            comm[strcspn(comm, "\n")] = 0;
            if (!strcmp(comm, name)) found = atoi(task->d_name);
        }
        fclose(file);
    }
    closedir(tasks);
    return found;
}

int main(int count, char **words) {
    if (count != 3) {
        fputs("freeze PID THREAD\n", stderr);
        return 2;
    }
    int thread = thread_of(words[1], words[2]), status;
    if (thread < 0 || ptrace(PTRACE_SEIZE, thread, 0, 0) || ptrace(PTRACE_INTERRUPT, thread, 0, 0)) {
        perror("freeze");
        return 1;
    }
    if (waitpid(thread, &status, __WALL) != thread || !WIFSTOPPED(status)) {
        perror("freeze: it does not stop");
        return 1;
    }
    printf("%d\n", thread);
    fflush(stdout);
    /* What it is sent while it stands still is not passed on; only its end is waited for. */
    while (waitpid(thread, &status, __WALL) == thread && WIFSTOPPED(status)) {}
    return 0;
}
