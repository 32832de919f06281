// Plays SCXML documents with Qt SCXML and prints what each event brought: g++ against Qt6Core and Qt6Scxml.
// Time passes only where an argument such as +250 says so, in milliseconds.
#include <QtCore/QAbstractEventDispatcher>
#include <QtCore/QCoreApplication>
#include <QtCore/QFile>
#include <QtScxml/QScxmlStateMachine>
#include <cstdio>

struct Timer {
    int id;
    qint64 interval, due;
    QObject *object;
};

class VirtualTime : public QAbstractEventDispatcher {
    QList<Timer> timers;
    qint64 now = 0;

public:
    void pass(qint64 millis) {
        qint64 until = now + millis;
        for (;;) {
            int first = -1;
            for (int i = 0; i < timers.size(); i++)
                if (timers[i].due <= until && (first < 0 || timers[i].due < timers[first].due))
                    first = i;
            if (first < 0)
                break;
            now = timers[first].due;
            timers[first].due += timers[first].interval;
            QTimerEvent event(timers[first].id);
            QCoreApplication::sendEvent(timers[first].object, &event);
            settle();
        }
        now = until;
    }
    void settle() {
        for (int i = 0; i < 20; i++)
            processEvents(QEventLoop::AllEvents);
    }
    bool processEvents(QEventLoop::ProcessEventsFlags) override {
        QCoreApplication::sendPostedEvents();
        for (int i = timers.size(); i-- > 0;)
            if (timers[i].interval == 0) {
                QTimerEvent event(timers[i].id);
                QCoreApplication::sendEvent(timers[i].object, &event);
            }
        return true;
    }
    void registerTimer(int id, qint64 interval, Qt::TimerType, QObject *object) override {
        timers.append({id, interval, now + interval, object});
    }
    bool unregisterTimer(int id) override {
        return timers.removeIf([id](const Timer &timer) { return timer.id == id; }) > 0;
    }
    bool unregisterTimers(QObject *object) override {
        return timers.removeIf([object](const Timer &timer) { return timer.object == object; }) > 0;
    }
    QList<TimerInfo> registeredTimers(QObject *) const override { return {}; }
    int remainingTime(int) override { return -1; }
    void registerSocketNotifier(QSocketNotifier *) override {}
    void unregisterSocketNotifier(QSocketNotifier *) override {}
    void wakeUp() override {}
    void interrupt() override {}
};

int main(int argc, char **argv) {
    auto *time = new VirtualTime;
    QCoreApplication::setEventDispatcher(time);
    QCoreApplication app(argc, argv);
    QScopedPointer<QScxmlStateMachine> machine(QScxmlStateMachine::fromFile(QString::fromLocal8Bit(argv[1])));
    if (!machine->parseErrors().isEmpty()) {
        for (const auto &error : machine->parseErrors())
            fprintf(stderr, "%s\n", qPrintable(error.toString()));
        return 2;
    }
    QStringList heard;
    QObject::connect(machine.data(), &QScxmlStateMachine::log,
                     [&](const QString &label, const QString &) { heard << label; });
    auto tell = [&](const char *event) {
        time->settle();
        printf("%s: %s\n", event, qPrintable(heard.join(QLatin1Char(' '))));
        heard.clear();
    };
    machine->start();
    tell("start");
    for (int i = 2; i < argc && machine->isRunning(); i++) {
        if (argv[i][0] == '+')
            time->pass(atoi(argv[i] + 1));
        else
            machine->submitEvent(QString::fromLocal8Bit(argv[i]));
        tell(argv[i]);
    }
    return 0;
}
