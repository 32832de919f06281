package instep.architecture;

import static com.tngtech.archunit.base.DescribedPredicate.describe;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.equivalentTo;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAPackage;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaCall;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.lang.ArchRule;
import java.io.IOException;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** Who may know whom. A core without clock, thread, file or socket under edges that do not know one another under the program. */
class LayersTest {
    private static final JavaClasses MAIN = new ClassFileImporter()
            .withImportOption(new ImportOption.DoNotIncludeTests())
            .importPackages("instep");
    private static final JavaClasses TESTS = new ClassFileImporter()
            .withImportOption(new ImportOption.OnlyIncludeTests())
            .importPackages("instep");

    private static final String[] CORE = {"instep.time..", "instep.gesture..", "instep.machine..", "instep.cutlist.."};
    private static final String[] EDGES = {
        "instep.input..",
        "instep.gear..",
        "instep.clock..",
        "instep.journal..",
        "instep.edit..",
        "instep.media..",
        "instep.report..",
        "instep.sound..",
        "instep.desk..",
        "instep.host.."
    };
    private static final String[] PROGRAM = {
        "instep",
        "instep.command..",
        "instep.rehearsal..",
        "instep.after..",
        "instep.advice..",
        "instep.daemon..",
        "instep.demo.."
    };
    /** Without java.io, java.net, java.nio, java.time, java.util.concurrent and java.util.logging. */
    private static final String[] JDK_OF_THE_CORE = {
        "java.lang",
        "java.lang.annotation",
        "java.lang.invoke",
        "java.lang.runtime",
        "java.math",
        "java.util",
        "java.util.function",
        "java.util.regex",
        "java.util.stream",
        "java.nio.charset",
        "org.jspecify.annotations"
    };

    /** What each core package may know besides itself. */
    private static final Map<String, String[]> BELOW = Map.of(
            "instep.time..",
            new String[] {},
            "instep.gesture..",
            new String[] {"instep.time.."},
            "instep.machine..",
            new String[] {"instep.time..", "instep.gesture.."},
            "instep.cutlist..",
            new String[] {"instep.time.."});

    /** Ways to the clock and to other threads that lie within the packages which the core may use. */
    private static final DescribedPredicate<JavaCall<?>> CLOCKS_AND_THREADS =
            describe("clocks, threads, processes or the console", call -> {
                String owner = call.getTargetOwner().getName();
                String name = call.getName();
                return (owner.equals("java.lang.System")
                                && Set.of("nanoTime", "currentTimeMillis", "getProperty", "getenv", "exit")
                                        .contains(name))
                        || (owner.equals("java.util.Date") || owner.equals("java.util.Calendar"))
                        || Set.of(
                                        "java.lang.Thread",
                                        "java.lang.Runtime",
                                        "java.lang.Process",
                                        "java.lang.ProcessBuilder",
                                        "java.util.Timer")
                                .contains(owner)
                        || (owner.equals("java.lang.Object")
                                && Set.of("wait", "notify", "notifyAll").contains(name));
            });

    @TestFactory
    Stream<DynamicTest> coreKnowsTheJdkAndWhatLiesBelow() {
        return BELOW.entrySet().stream()
                .map(entry -> DynamicTest.dynamicTest(
                        entry.getKey(),
                        () -> classes()
                                .that()
                                .resideInAPackage(entry.getKey())
                                .should()
                                .onlyDependOnClassesThat(resideInAPackage(entry.getKey())
                                        .or(resideInAnyPackage(entry.getValue()))
                                        .or(resideInAnyPackage(JDK_OF_THE_CORE))
                                        .or(PRIMITIVES)
                                        // An Appendable that is written to may fail.
                                        .or(equivalentTo(IOException.class)))
                                .because("the core is a function: it is told all that it knows")
                                .allowEmptyShould(true)
                                .check(MAIN)));
    }

    private static final DescribedPredicate<JavaClass> PRIMITIVES =
            describe("primitives", type -> type.getBaseComponentType().isPrimitive());

    @Test
    void coreAsksNoClockAndStartsNoThread() {
        check(noClasses()
                .that()
                .resideInAnyPackage(CORE)
                .should()
                .callCodeUnitWhere(describe("calls " + CLOCKS_AND_THREADS.getDescription(), CLOCKS_AND_THREADS))
                .orShould()
                .accessField(System.class, "out")
                .orShould()
                .accessField(System.class, "err")
                .because("the same edges at the same times must give the same cuts"));
    }

    @TestFactory
    Stream<DynamicTest> edgesDoNotKnowOneAnother() {
        return Stream.of(EDGES)
                .map(edge -> DynamicTest.dynamicTest(
                        edge,
                        () -> check(noClasses()
                                .that()
                                .resideInAPackage(edge)
                                .should()
                                .dependOnClassesThat(resideInAnyPackage(EDGES)
                                        .and(DescribedPredicate.not(resideInAPackage(edge)))
                                        .or(resideInAnyPackage("instep.config.."))
                                        .or(resideInAnyPackage(PROGRAM)))
                                .because("edges meet in the program alone"))));
    }

    @Test
    void configAloneKnowsYaml() {
        check(noClasses()
                .that()
                .resideOutsideOfPackage("instep.config..")
                .should()
                .dependOnClassesThat()
                .resideInAPackage("org.yaml..")
                .because("what was read is checked values to everybody else"));
    }

    @Test
    void nothingKnowsTheProgram() {
        check(noClasses()
                .that()
                .resideOutsideOfPackages(PROGRAM)
                .should()
                .dependOnClassesThat()
                .resideInAnyPackage(PROGRAM)
                .because("it stands on top"));
    }

    @Test
    void theRunningDeskKnowsNoCommandAndNoRehearsal() {
        check(noClasses()
                .that()
                .resideInAPackage("instep.daemon..")
                .should()
                .dependOnClassesThat(
                        resideInAnyPackage(PROGRAM).and(DescribedPredicate.not(resideInAPackage("instep.daemon.."))))
                .because("what runs for months under the desk stands by itself"));
    }

    @Test
    void nobodyKnowsTheEntry() {
        check(noClasses()
                .that()
                .resideOutsideOfPackage("instep")
                .should()
                .dependOnClassesThat()
                .resideInAPackage("instep")
                .because("the command line is read once, at the very top"));
    }

    @Test
    void theDaemonKnowsNothingOfRecordedFiles() {
        check(noClasses()
                .that()
                .resideInAnyPackage("instep.daemon..")
                .should()
                .dependOnClassesThat()
                .resideInAPackage("instep.media..")
                .because("a missing or broken FFmpeg is no matter of a running desk"));
    }

    @Test
    void packagesFormNoCircle() {
        check(slices().matching("instep.(*)..").should().beFreeOfCycles());
    }

    @Test
    void testsDoNotSleep() {
        noClasses()
                .should()
                .callMethodWhere(describe(
                        "sleeps",
                        call -> call.getName().equals("sleep")
                                && Set.of("java.lang.Thread", "java.util.concurrent.TimeUnit")
                                        .contains(call.getTargetOwner().getName())))
                .because("a test that waits for time is slow when it passes and wrong when it fails")
                .check(TESTS);
    }

    private static void check(ArchRule rule) {
        rule.allowEmptyShould(true).check(MAIN);
    }

    /** A check that is left out must fail where the build says what is right; what is no program of somebody else's is named here. */
    @Test
    void noCheckIsLeftOutForWantOfAReferenceButByInstalled() {
        noClasses()
                .that()
                .resideOutsideOfPackage("instep.reference..")
                .and()
                .doNotHaveSimpleName("EvdevDecoderTest") // another order of bytes
                .should()
                .dependOnClassesThat()
                .haveFullyQualifiedName("org.junit.jupiter.api.Assumptions")
                .check(TESTS);
    }
}
