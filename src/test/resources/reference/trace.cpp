// Plays SCXML documents with Qt SCXML and prints what each event brought: g++ against Qt6Core and Qt6Scxml.
#include <QtCore/QCoreApplication>
#include <QtCore/QFile>
#include <QtScxml/QScxmlStateMachine>
#include <cstdio>

int main(int argc, char **argv) {
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
        for (int i = 0; i < 20; i++)
            app.processEvents();
        printf("%s: %s\n", event, qPrintable(heard.join(QLatin1Char(' '))));
        heard.clear();
    };
    machine->start();
    tell("start");
    for (int i = 2; i < argc && machine->isRunning(); i++) {
        machine->submitEvent(QString::fromLocal8Bit(argv[i]));
        tell(argv[i]);
    }
    return 0;
}
