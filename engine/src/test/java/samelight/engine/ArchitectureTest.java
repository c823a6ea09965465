package samelight.engine;

import static com.tngtech.archunit.base.DescribedPredicate.describe;
import static com.tngtech.archunit.core.domain.JavaCall.Predicates.target;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.assignableTo;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.core.domain.properties.HasName.Predicates.nameMatching;
import static com.tngtech.archunit.core.domain.properties.HasOwner.Predicates.With.owner;
import static com.tngtech.archunit.lang.conditions.ArchConditions.callConstructorWhere;
import static com.tngtech.archunit.lang.conditions.ArchConditions.callMethodWhere;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaAccess;
import com.tngtech.archunit.core.domain.JavaCall;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.domain.JavaPackage;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.lang.ArchRule;
import com.tngtech.archunit.library.GeneralCodingRules;
import java.io.File;
import java.io.FileOutputStream;
import java.io.FileWriter;
import java.io.PrintWriter;
import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.NullMarked;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** The house rules of the engine's packages, held over the compiled classes. */
class ArchitectureTest {
  private static final String ROOT = "samelight.engine";

  /** Place of the root package: the pipeline over frames, with its options and results. */
  private static final String PIPELINE = "";

  /** In the order of the data flow: each package may use only those before it. */
  private static final List<String> ORDER =
      List.of(
          "quantity",
          "files",
          "hevc",
          "frame",
          "colour",
          "photometry",
          "metadata",
          "likeness",
          "timeline",
          "lighting",
          "match",
          "proof",
          PIPELINE,
          "keepers",
          "sidecar",
          "report",
          "store",
          "review",
          "copies",
          "account",
          "pace",
          "delivery");

  private static final String[] WRITERS = {
    pkg("files"), pkg("sidecar"), pkg("copies"), pkg("delivery"), pkg("store")
  };

  private static final String[] JSON = {
    pkg("sidecar"), pkg("store"), pkg("report"), pkg("copies"), pkg("pace"), pkg("delivery")
  };

  private static final JavaClasses ENGINE =
      new ClassFileImporter()
          .withImportOption(new ImportOption.DoNotIncludeTests())
          .withImportOption(location -> !location.contains("/report/page/")) // made from templates
          .importPackages(ROOT);

  private static String pkg(String name) {
    return name.equals(PIPELINE) ? ROOT : ROOT + "." + name + "..";
  }

  private static void check(ArchRule rule) {
    rule.allowEmptyShould(true).check(ENGINE);
  }

  @TestFactory
  Stream<DynamicTest> packages_useOnlyThoseBefore() {
    return ORDER.stream()
        .map(
            name ->
                DynamicTest.dynamicTest(
                    name.equals(PIPELINE) ? ROOT : name,
                    () -> {
                      String[] later =
                          ORDER.stream()
                              .skip(ORDER.indexOf(name) + 1L)
                              .map(ArchitectureTest::pkg)
                              .toArray(String[]::new);
                      check(
                          noClasses()
                              .that()
                              .resideInAPackage(pkg(name))
                              .should()
                              .dependOnClassesThat(
                                  resideInAnyPackage(later)
                                      .as("come after it in the order of the packages")));
                    }));
  }

  @Test
  void packages_haveTheirPlaceInTheOrder() {
    Set<String> unknown =
        ENGINE.stream()
            .map(JavaClass::getPackageName)
            .filter(p -> p.startsWith(ROOT + "."))
            .map(p -> p.substring(ROOT.length() + 1).split("\\.", 2)[0])
            .filter(p -> !ORDER.contains(p))
            .collect(Collectors.toCollection(TreeSet::new));
    assertThat(unknown).as("packages that this test's order doesn't place").isEmpty();
  }

  @Test
  void packages_haveNoCycles() {
    check(slices().matching(ROOT + ".(*)..").should().beFreeOfCycles());
  }

  @Test
  void packages_areNullMarkedInTheirPackageInfo() {
    Set<String> bare =
        ENGINE.stream()
            .map(JavaClass::getPackage)
            .filter(p -> !p.isAnnotatedWith(NullMarked.class))
            .map(JavaPackage::getName)
            .collect(Collectors.toCollection(TreeSet::new));
    assertThat(bare).as("packages without a @NullMarked package-info").isEmpty();
  }

  @Test
  void engine_neverPrintsOrExits() {
    check(GeneralCodingRules.NO_CLASSES_SHOULD_ACCESS_STANDARD_STREAMS);
    check(noClasses().should().callMethod(System.class, "exit", int.class));
    check(noClasses().should().callMethod(Runtime.class, "exit", int.class));
    check(noClasses().should().callMethod(Runtime.class, "halt", int.class));
    check(noClasses().should().callMethod(Throwable.class, "printStackTrace"));
  }

  @Test
  void parsingLibraries_stayInsideOnePackage() {
    check(onlyIn("com.drew..", pkg("metadata")));
    check(onlyIn("com.adobe..", pkg("sidecar")));
    check(onlyIn("com.fasterxml..", JSON));
    check(onlyIn("biweekly..", pkg("pace")));
    check(onlyIn("org.apache.pdfbox..", pkg("delivery")));
  }

  private static ArchRule onlyIn(String library, String... homes) {
    return noClasses()
        .that()
        .resideOutsideOfPackages(homes)
        .should()
        .dependOnClassesThat()
        .resideInAPackage(library);
  }

  @Test
  void files_areWrittenByWritersOnly() {
    DescribedPredicate<JavaCall<?>> onFiles =
        target(owner(assignableTo(Files.class)))
            .and(
                target(
                    nameMatching(
                        "write.*|newOutputStream|newBufferedWriter|move|copy|delete.*|create.*"
                            + "|set.*")));
    DescribedPredicate<JavaCall<?>> onFile =
        target(owner(assignableTo(File.class)))
            .and(target(nameMatching("delete.*|renameTo|create.*|mkdirs?|set.*")));
    DescribedPredicate<JavaCall<?>> opening =
        describe(
            "opens a file for writing",
            call ->
                Stream.of(
                        FileOutputStream.class,
                        FileWriter.class,
                        RandomAccessFile.class,
                        javax.imageio.stream.FileImageOutputStream.class)
                    .anyMatch(c -> call.getTargetOwner().isEquivalentTo(c)));
    DescribedPredicate<JavaCall<?>> withFile =
        describe(
            "hands a file to a writer",
            call ->
                (call.getTargetOwner().isEquivalentTo(PrintWriter.class)
                        && call.getName().equals("<init>")
                        && call.getTarget()
                            .getRawParameterTypes()
                            .get(0)
                            .getName()
                            .matches("java\\.lang\\.String|java\\.io\\.File"))
                    || (call.getName().startsWith("write")
                        && call.getTarget().getRawParameterTypes().stream()
                            .anyMatch(p -> p.isEquivalentTo(File.class))));
    DescribedPredicate<JavaAccess<?>> option =
        describe(
            "uses an option that opens for writing",
            access ->
                access.getTargetOwner().isEquivalentTo(StandardOpenOption.class)
                    && !access.getName().equals("READ"));
    check(
        noClasses()
            .that()
            .resideOutsideOfPackages(WRITERS)
            .should(callMethodWhere(onFiles.forSubtype()))
            .orShould(callMethodWhere(onFile.forSubtype()))
            .orShould(callMethodWhere(withFile.forSubtype()))
            .orShould(callConstructorWhere(opening.forSubtype()))
            .orShould(callConstructorWhere(withFile.forSubtype()))
            .orShould()
            .accessTargetWhere(option));
  }

  @Test
  void records_haveNoSetters() {
    check(
        classes()
            .that()
            .areRecords()
            .should()
            .haveOnlyFinalFields()
            .as("records stay immutable, static fields included"));
  }
}
